import type { Fleet } from '@fillwright/core/fleet';
import type { Days } from '@fillwright/core/reach';
import { formatDate } from '@fillwright/core/units';
import { countText, limitNumber, limitText } from '../show/amounts.ts';

/** 'Ana Voss', 'Ana Voss, Ben Ode and 12 more': names before counts; three are named whole. */
export function namesAndMore(names: readonly string[], count: number): string {
  if (count <= 3 && names.length >= count)
    return count > 1 ? `${names.slice(0, count - 1).join(', ')} and ${names[count - 1]}` : (names[0] ?? '');
  return `${names.slice(0, 2).join(', ')} and ${countText(count - 2)} more`;
}

/** 'nothing', '40 gal', '20 to 40 gal'. */
export function rangeWords(fleet: Fleet, [least, most]: readonly [number, number]): string {
  if (most === 0) return 'nothing';
  if (least === most) return limitText(fleet, most);
  return `${least === 0 ? 'nothing' : limitNumber(fleet, least)} to ${limitText(fleet, most)}`;
}

const FIRST_DAYS = 12;

/** '2026-12-25, 2027-01-01 to 2027-01-03': days as dates, runs as from and to; at most a dozen of them. */
export function daysWords(days: Days): string {
  const parts: string[] = [];
  for (let i = 0; i < days.length; i += 2) {
    const [from, until] = [days[i] as number, days[i + 1] as number];
    parts.push(from === until ? formatDate(from) : `${formatDate(from)} to ${formatDate(until)}`);
  }
  const more = parts.length - FIRST_DAYS;
  return more > 0 ? `${parts.slice(0, FIRST_DAYS).join(', ')} and ${more} more` : parts.join(', ');
}
