import { mean, quantileSorted } from 'simple-statistics';

/** Litres drawn on each local day, oldest first, without a gap; `weekday` 0 is Monday. */
export interface DayDemand {
  readonly weekday: number;
  readonly litres: number;
}

export interface Demand {
  /** Part of a usual day that each weekday draws, Monday first; their mean is 1. */
  readonly profile: readonly number[];
  /** Litres of a usual day now. */
  readonly level: number;
  /** Litres drawn within so many days from now, not more with the chance `q`. `ahead` 1 to 28, q 0 to 1. */
  readonly within: (ahead: number, q: number) => number;
}

const LEAST_DAYS = 28;
const MOST_AHEAD = 28;
/** A day moves the level by this part: the last three weeks weigh most. Chosen on simulated years; common practice, no source. */
const MOVES = 0.08;
/** The profile is of so many weeks. */
const PROFILE_WEEKS = 12;

/**
 * What will be drawn: a weekday profile times a level that is smoothed exponentially (R. G. Brown 1959), and around it the errors that
 * this forecast has made over as many days in this tank's own past, as quantiles. Undefined with less than four weeks.
 */
export function demandOf(days: readonly DayDemand[]): Demand | undefined {
  if (days.length < LEAST_DAYS) return undefined;
  const profile = profileOf(days.slice(-7 * PROFILE_WEEKS));
  const part = (weekday: number) => profile[weekday] as number;
  // levels[i] is known at the evening before day i.
  const levels: number[] = [];
  let level = mean(days.slice(0, 14).map((d) => d.litres));
  for (const d of days) {
    levels.push(level);
    const p = part(d.weekday);
    // A day that usually draws next to nothing says nothing about the level.
    if (p > 0.05) level += MOVES * Math.min(1, p) * (d.litres / p - level);
  }
  const today = (((days.at(-1) as DayDemand).weekday + 1) % 7) as number;
  const expected = (from: number, ahead: number, base: number) => {
    let sum = 0;
    for (let i = 0; i < ahead; i++) sum += base * part((from + i) % 7);
    return sum;
  };
  const errors = new Map<number, number[]>();
  const errorsOver = (ahead: number): number[] => {
    let known = errors.get(ahead);
    if (!known) {
      known = [];
      for (let i = 14; i + ahead <= days.length; i++) {
        let drawn = 0;
        for (let k = 0; k < ahead; k++) drawn += (days[i + k] as DayDemand).litres;
        known.push(drawn - expected((days[i] as DayDemand).weekday, ahead, levels[i] as number));
      }
      known.sort((a, b) => a - b);
      errors.set(ahead, known);
    }
    return known;
  };
  return {
    profile,
    level,
    within: (ahead, q) => {
      if (!(Number.isInteger(ahead) && ahead >= 1 && ahead <= MOST_AHEAD))
        throw new RangeError(`days ahead are 1 to ${MOST_AHEAD}, not ${ahead}`);
      if (!(q >= 0 && q <= 1)) throw new RangeError(`a quantile is 0 to 1, not ${q}`);
      const past = errorsOver(ahead);
      return Math.max(0, expected(today, ahead, level) + (past.length > 0 ? quantileSorted(past, q) : 0));
    },
  };
}

function profileOf(days: readonly DayDemand[]): number[] {
  const whole = mean(days.map((d) => d.litres));
  if (whole <= 0) return [1, 1, 1, 1, 1, 1, 1];
  const raw = [0, 1, 2, 3, 4, 5, 6].map((w) => mean(days.filter((d) => d.weekday === w).map((d) => d.litres)) / whole);
  const all = mean(raw);
  return raw.map((r) => r / all);
}

/** Loss of a quantile forecast (R. Koenker, G. Bassett, 'Regression quantiles', Econometrica 46, 1978): q above, 1 - q below. */
export const pinball = (q: number, forecast: number, happened: number): number =>
  happened >= forecast ? q * (happened - forecast) : (1 - q) * (forecast - happened);

export interface RunOut {
  /** Days until the usable stock is gone, with even chance, and with a chance of one in twenty; null: not within 28 days. */
  readonly likelyDays: number | null;
  readonly earlyDays: number | null;
  /** Order within so many days, so that the lorry comes before the early day; 0: today; null: no need within 28 days. */
  readonly orderWithinDays: number | null;
}

/** `usable`: litres above the low level at which hoses stop. `leadDays`: whole days from order to delivery, 0 to 14. */
export function runOut(demand: Demand, usable: number, leadDays: number): RunOut {
  if (!(Number.isInteger(leadDays) && leadDays >= 0 && leadDays <= 14))
    throw new RangeError(`days from order to delivery are 0 to 14, not ${leadDays}`);
  const days = (q: number) => {
    for (let d = 1; d <= MOST_AHEAD; d++) if (demand.within(d, q) >= usable) return d - 1;
    return null;
  };
  const earlyDays = usable <= 0 ? 0 : days(0.95);
  const likelyDays = usable <= 0 ? 0 : days(0.5);
  return { likelyDays, earlyDays, orderWithinDays: earlyDays === null ? null : Math.max(0, earlyDays - leadDays) };
}
