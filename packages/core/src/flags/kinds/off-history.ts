import { type FlagFill, type FlagKind, PRACTICE } from '../flag.ts';
import { habitOf, oddness } from '../habit.ts';

/** A single fill is noisy, for nobody fills to the same mark twice: three intervals are taken together; three to five is common practice, no source. */
const TOGETHER = 3;
const LEAST_HISTORY = 8;
const ODD = 5;
/** Less than a third more is weather, load and traffic. Common practice, no source. */
const LEAST_PART = 1 / 3;

export const offHistory: FlagKind = {
  code: 'G04',
  title: 'A vehicle draws far more for its work than it used to',
  reason:
    'Over three fills it took more fuel per distance or hour than its own history explains: a fault, or fuel that went elsewhere.',
  next: 'Look at the three fills and at the workshop’s notes on the vehicle.',
  source: PRACTICE,
  *find({ byVehicle, fleet, called, volumeText }) {
    for (const [id, all] of byVehicle) {
      const counter = fleet.vehicles.get(id)?.counter;
      if (counter !== 'odometer' && counter !== 'hours') continue;
      const spans = spansOf(all, counter);
      let flagged = -1;
      for (let n = LEAST_HISTORY + TOGETHER; n <= spans.length; n++) {
        const recent = spans.slice(n - TOGETHER, n);
        const before = spans.slice(0, n - TOGETHER);
        const rates = triples(before);
        if (rates.length < LEAST_HISTORY - TOGETHER + 1) continue;
        const rate = rateOf(recent);
        const habit = habitOf(rates);
        if (oddness(habit, rate) < ODD || rate < habit.middle * (1 + LEAST_PART)) continue;
        const last = recent.at(-1) as Span;
        // What three fills together said once is not said of the next three that share two of them.
        if (flagged >= 0 && n - flagged < TOGETHER) continue;
        flagged = n;
        const volume = recent.reduce((sum, s) => sum + s.volume, 0);
        yield {
          at: last.fill.from,
          on: [{ table: 'vehicles', id }, ...recent.map((s) => ({ table: 'fills', id: s.fill.id }) as const)],
          text: `${called('vehicles', id)} took ${volumeText(volume)} over its last three fills, ${Math.round((rate / habit.middle - 1) * 100)} % more for the ${counter === 'hours' ? 'hours' : 'distance'} than it used to.`,
          evidence: {
            volume,
            advance: recent.reduce((sum, s) => sum + s.advance, 0),
            usual: habit.middle,
            now: rate,
            spread: habit.spread,
          },
        };
      }
    }
  },
};

interface Span {
  readonly fill: FlagFill;
  readonly volume: number;
  readonly advance: number;
}

function spansOf(all: readonly FlagFill[], counter: 'odometer' | 'hours'): Span[] {
  const spans: Span[] = [];
  let last: number | undefined;
  let volume = 0;
  for (const fill of all) {
    const now = fill[counter];
    volume += fill.volume;
    if (now === undefined) continue;
    if (last !== undefined && now > last) spans.push({ fill, volume, advance: now - last });
    if (last === undefined || now > last) volume = 0;
    last = last === undefined ? now : Math.max(last, now);
  }
  return spans;
}

const rateOf = (spans: readonly Span[]) =>
  spans.reduce((sum, s) => sum + s.volume, 0) / spans.reduce((sum, s) => sum + s.advance, 0);

const triples = (spans: readonly Span[]): number[] =>
  spans.slice(TOGETHER - 1).map((_, i) => rateOf(spans.slice(i, i + TOGETHER)));
