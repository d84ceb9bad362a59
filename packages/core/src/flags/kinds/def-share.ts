import { type FlagFill, type FlagKind, type Found, type History, PRACTICE } from '../flag.ts';

const DAY = 86_400_000;
const WEEK = 7 * DAY;
/**
 * DEF is 2 to 3 % of diesel (trade press on a letter of the US EPA; common practice). It is drawn in few, large gulps, so one more or less must
 * not decide: far too much shows in a month, far too little only in a quarter.
 */
const MUCH = { days: 30, part: 0.06, gulps: 4 };
const LITTLE = { days: 90, part: 0.01 };

export const defShare: FlagKind = {
  code: 'G09',
  title: 'DEF that does not fit the diesel',
  reason:
    'An engine with catalytic reduction takes DEF as 2 to 3 % of its diesel. Far less may mean a defeated system, far more a leak or theft.',
  next: 'Have the workshop read the emission system, and look at who drew DEF.',
  source: PRACTICE,
  *find(history) {
    const kind = (f: FlagFill) => history.fleet.products.get(f.product)?.kind;
    const known = history.fills.at(-1)?.from ?? 0;
    for (const [id, all] of history.byVehicle) {
      const def = running(all.filter((f) => kind(f) === 'def'));
      const diesel = running(all.filter((f) => kind(f) === 'diesel' || kind(f) === 'dyed'));
      if (def.at.length > 0 && diesel.at.length > 0)
        yield* oddWeeks(history, id, (all[0] as FlagFill).from, known, def, diesel);
    }
  },
};

/** Looked at once a week, at weeks that are the same for everybody and ever, so that a flag stays the same one while more fills come. */
function* oddWeeks(
  { called }: History,
  id: string,
  first: number,
  known: number,
  def: Running,
  diesel: Running,
): Generator<Found> {
  const gulp = def.largest;
  let was = '';
  for (let to = Math.ceil(first / WEEK) * WEEK; to <= known; to += WEEK) {
    const span = (r: Running, days: number) => upTo(r, to) - upTo(r, to - days * DAY);
    const much = { def: span(def, MUCH.days), diesel: span(diesel, MUCH.days) };
    const little = { def: span(def, LITTLE.days), diesel: span(diesel, LITTLE.days) };
    // Nothing is known before the first fill, so the whole span must lie behind it.
    const is =
      to - MUCH.days * DAY >= first &&
      much.diesel > 0 &&
      much.def > MUCH.part * much.diesel + gulp &&
      much.def > MUCH.gulps * gulp
        ? 'much'
        : to - LITTLE.days * DAY >= first && little.def < LITTLE.part * little.diesel - gulp
          ? 'little'
          : '';
    const begins = is !== '' && is !== was;
    was = is;
    if (!begins) continue;
    const [sums, days] = is === 'much' ? [much, MUCH.days] : [little, LITTLE.days];
    const percent = Math.round((sums.def / sums.diesel) * 1000) / 10;
    yield {
      at: to,
      on: [{ table: 'vehicles', id }],
      text: `${called('vehicles', id)} took DEF as ${percent.toFixed(1)} % of its diesel over ${days} days; 2 to 3 % is usual.`,
      evidence: { ...sums, percent, days },
    };
  }
}

interface Running {
  readonly at: readonly number[];
  /** All up to and with each fill. */
  readonly sum: readonly number[];
  readonly largest: number;
}

function running(fills: readonly FlagFill[]): Running {
  let total = 0;
  return {
    at: fills.map((f) => f.from),
    sum: fills.map((f) => {
      total += f.volume;
      return total;
    }),
    largest: fills.reduce((most, f) => Math.max(most, f.volume), 0),
  };
}

/** Everything drawn before `t`, found by halving. */
function upTo({ at, sum }: Running, t: number): number {
  let [low, high] = [0, at.length];
  while (low < high) {
    const mid = (low + high) >> 1;
    if ((at[mid] as number) < t) low = mid + 1;
    else high = mid;
  }
  return low === 0 ? 0 : (sum[low - 1] as number);
}
