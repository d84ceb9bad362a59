import { type Credential, stretchesOf } from '../../fleet/index.ts';
import {
  instantsAt,
  localMoment,
  monthStart,
  parseDate,
  weekdayOf,
  weekStart,
  type ZoneTable,
} from '../../units/index.ts';
import type { WhyCase } from './types.ts';
import type { HolderRow } from './who.ts';

/** How far ahead another time is looked for, in days. */
const DAYS_AHEAD = 35;

/**
 * Later moments (ms UTC, ascending) at which a decision may say otherwise, in the next `DAYS_AHEAD` days: the earliest at which it
 * approves, with whatever else is changed about these people, is among them. A day begins to be otherwise where a day's, week's or month's quantity
 * begins anew, after a closed day and on a first day of validity; a minute where times of an allowance begin. Times come back every
 * week, so only the first after now and after each such day counts.
 */
export function timesAhead(
  { fleet, request }: WhyCase,
  zone: ZoneTable,
  cards: readonly Credential[],
  holders: readonly HolderRow[],
  allowances: Iterable<string>,
): number[] {
  const { day, weekday, minute } = localMoment(zone, request.at);
  const nextMonth = monthStart(monthStart(day) + 31);
  const days = [day, day + 1, weekStart(day) + 7, nextMonth];
  for (const date of fleet.sites.get(request.site)?.closed ?? []) days.push((parseDate(date) ?? day) + 1);
  for (const { validFrom } of [...cards, ...holders.map((h) => h.row)]) days.push(parseDate(validFrom ?? '') ?? day);

  // Also of the hour that an allowance may gain.
  const begins = new Set([weekday * 1440 + minute - (minute % 60)]);
  for (const id of allowances) for (const s of stretchesOf(fleet.allowances.get(id)?.times ?? null)) begins.add(s.from);

  const last = day + DAYS_AHEAD - 1;
  const found = new Set<number>();
  const put = (d: number, m: number) => {
    const instants = instantsAt(zone, d, m);
    for (const at of instants) if (at > request.at && d <= last) found.add(at);
    return instants.length > 0;
  };
  for (const d of new Set(days)) {
    put(d, 0);
    for (const begin of begins) {
      let on = d + ((Math.floor(begin / 1440) - weekdayOf(d) + 7) % 7);
      // What is skipped when the clocks go forward comes a week later.
      while (!put(on, begin % 1440)) on += 7;
    }
  }
  // The moment at which clocks are turned shows another minute, which may be one that no time begins with.
  for (const at of zone.at) if (at > request.at && localMoment(zone, at).day <= last) found.add(at);
  return [...found].sort((a, b) => a - b);
}
