import { type Microlitres, volumeOf } from '../units/index.ts';

/** What goes into and out of a tank's book. Whole microlitres; a fill is below zero. */
export interface BookMove {
  readonly at: number;
  readonly kind: 'fill' | 'delivery' | 'correction';
  readonly volume: Microlitres;
}
/** What was measured: by a dip, or by a gauge at rest. */
export interface Measured {
  readonly at: number;
  readonly volume: Microlitres;
}

/** From one measurement to the next: usually a day. All whole numbers, so the lines add up to the last unit. */
export interface BookDay {
  /** Local calendar day on which it ends, as a day number. */
  readonly day: number;
  readonly from: number;
  readonly to: number;
  readonly opening: Microlitres;
  readonly delivered: Microlitres;
  readonly drawn: Microlitres;
  readonly corrected: Microlitres;
  /** opening + delivered - drawn + corrected. */
  readonly book: Microlitres;
  readonly measured: Microlitres;
  /** measured - book: above zero over, below zero short. */
  readonly over: Microlitres;
  /** The sum of `over` until here. */
  readonly cumulative: Microlitres;
}

/**
 * Book against measurement, day by day: each day from the last measurement of the day before to the last of its own. A day without one
 * is counted with the next that has one. Lists in time's order; `dayOf` gives the local calendar day of an instant.
 */
export function bookDays(
  moves: readonly BookMove[],
  measured: readonly Measured[],
  dayOf: (at: number) => number,
): BookDay[] {
  const last = new Map<number, Measured>();
  for (const m of measured) last.set(dayOf(m.at), m);
  const days: BookDay[] = [];
  let [before, next, cumulative] = [undefined as Measured | undefined, 0, 0];
  for (const [day, m] of last) {
    const sums = { fill: 0, delivery: 0, correction: 0 };
    for (; (moves[next]?.at ?? Number.POSITIVE_INFINITY) <= m.at; next++) {
      const move = moves[next] as BookMove;
      if (before) sums[move.kind] += move.volume;
    }
    if (before) {
      const book = before.volume + sums.delivery + sums.fill + sums.correction;
      const over = m.volume - book;
      cumulative += over;
      days.push({
        day,
        from: before.at,
        to: m.at,
        opening: before.volume,
        delivered: sums.delivery,
        drawn: 0 - sums.fill,
        corrected: sums.correction,
        book,
        measured: m.volume,
        over,
        cumulative,
      });
    }
    before = m;
  }
  return days;
}

export interface Reconciled {
  readonly drawn: Microlitres;
  readonly over: Microlitres;
  /** 1.0 % of what was drawn and 130 US gallons. */
  readonly threshold: Microlitres;
  readonly within: boolean;
  readonly days: number;
}

const GALLONS_130 = volumeOf(130_000, 'gal');

/** The monthly sum of 40 CFR 280.43(a): over or short against 1.0 % of the flow-through plus 130 gallons. Read; worked values in the test. */
export function reconcile(days: readonly BookDay[]): Reconciled {
  let [drawn, over] = [0, 0];
  for (const d of days) {
    drawn += d.drawn;
    over += d.over;
  }
  const threshold = Math.floor(drawn / 100) + GALLONS_130;
  return { drawn, over, threshold, within: Math.abs(over) <= threshold, days: days.length };
}

/** What the monthly sum says and what it does not, for whoever reads it. */
export const RECONCILED_MEANS = {
  within:
    'Over or short is within 1.0 % of what was drawn plus 130 gallons. That is all it says: a leak smaller than this hides behind the meters’ and the chart’s own errors, and one month’s luck is not proof of a tight tank.',
  beyond:
    'Over or short is more than 1.0 % of what was drawn plus 130 gallons. Look at entries, deliveries, meters and the chart first, now. Where 40 CFR part 280 applies, a second month beyond it, or one that cannot be explained, is a suspected release: report it to the authority within its time, usually 24 hours.',
  scope:
    'Inventory control is a compliance method only for some underground tanks and only for their first ten years (40 CFR 280.41(a)); elsewhere it is good housekeeping. This is arithmetic for a decision, not a certified leak detection method. The authority having jurisdiction and registered people decide.',
} as const;
