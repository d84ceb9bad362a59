import type { ReachRow } from '@fillwright/wire';

/** Which fleet an option may name. */
export const WHICH = "'draft', the number of a release, or 'running:SITE' for what a site runs";

/** What was given of a query; what was not is left to the office. */
export function given<T extends Record<string, unknown>>(query: T): { [K in keyof T]: Exclude<T[K], undefined> } {
  return Object.fromEntries(Object.entries(query).filter(([, v]) => v !== undefined)) as never;
}

export const named = ({ count, names }: ReachRow['who']): string =>
  count > names.length ? `${names.join(', ')} and ${count - names.length} more` : names.join(', ');

const DAYS = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'];
const minuteOfWeek = (m: number): string => {
  const minute = m % 1440;
  return `${DAYS[Math.floor(m / 1440) % 7]} ${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`;
};
/** 'Mon 06:00 to Mon 18:00', of minutes of the week. */
export const spanWords = ({ from, to }: { readonly from: number; readonly to: number }): string =>
  `${minuteOfWeek(from)} to ${to === 10_080 ? 'Sun 24:00' : minuteOfWeek(to)}`;
