import {
  dayOfDate,
  formatDate,
  formatMinute,
  instantsAt,
  localMoment,
  parseDate,
  parseMinute,
  type ZoneTable,
  zoneTable,
} from '@fillwright/core/units';

const tables = new Map<string, ZoneTable | null>();

/** The zone's table, made once; null where this browser does not know the zone. */
export function zoneKnown(zone: string): ZoneTable | null {
  let table = tables.get(zone);
  if (table === undefined) {
    try {
      table = zoneTable(zone);
    } catch {
      table = null;
    }
    tables.set(zone, table);
  }
  return table;
}

export const UTC: ZoneTable = { zone: 'UTC', at: [Number.NEGATIVE_INFINITY], offsetMin: [0] };

const names = new Map<string, Intl.DateTimeFormat>();

/** The zone's short name at a moment, such as 'CST' or 'GMT+1'. */
function shortName(zone: string, ms: number): string {
  let format = names.get(zone);
  if (!format) {
    format = new Intl.DateTimeFormat('en', { timeZone: zone, timeZoneName: 'short' });
    names.set(zone, format);
  }
  return format.formatToParts(ms).find((p) => p.type === 'timeZoneName')?.value ?? zone;
}

/** A moment by the clock on the site's wall with the zone named: '2026-11-25 06:12 CST'. A zone that nobody knows is shown in UTC. */
export function siteMoment(ms: number, zone: string): string {
  const table = zoneKnown(zone);
  const local = localMoment(table ?? UTC, ms);
  return `${formatDate(local.day)} ${formatMinute(local.minute)} ${table ? shortName(zone, ms) : 'UTC'}`;
}

/** The same without the date. */
export const siteClock = (ms: number, zone: string): string => siteMoment(ms, zone).slice(11);

/**
 * The instants at which a site's wall shows this date and time: one as a rule, two in the hour that occurs twice when the clocks go
 * back, none in the hour that is skipped; undefined where the texts are not a date and a time.
 */
export function instantsOf(date: string, time: string, table: ZoneTable): number[] | undefined {
  const day = parseDate(date);
  const minute = parseMinute(time);
  if (day === undefined || minute === undefined || minute > 1439) return undefined;
  return instantsAt(table, day, minute);
}

/** The date and the time that the site's wall shows at an instant. */
export function wallOf(ms: number, zone: string): { date: string; time: string } {
  const local = localMoment(zoneKnown(zone) ?? UTC, ms);
  return { date: formatDate(local.day), time: formatMinute(local.minute) };
}

/** The first instant of a date at the site; the day after the last for `to` filters. */
export function dayStart(date: string, zone: string): number | undefined {
  const table = zoneKnown(zone) ?? UTC;
  const day = parseDate(date);
  if (day === undefined) return undefined;
  // Where midnight itself is skipped, the day begins at the first minute that exists.
  for (let minute = 0; minute < 180; minute++) {
    const at = instantsOf(date, formatMinute(minute), table);
    if (at?.[0] !== undefined) return at[0];
  }
  return undefined;
}

/** The date after a date. */
export const nextDate = (date: string): string => formatDate((parseDate(date) ?? dayOfDate(1970, 1, 1)) + 1);

/** A moment of the office by this computer's clock, with its zone named. */
export const hereMoment = (ms: number): string => siteMoment(ms, Intl.DateTimeFormat().resolvedOptions().timeZone);
