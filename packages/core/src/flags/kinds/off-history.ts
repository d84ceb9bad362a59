import { type FlagFill, type FlagKind, type History, PRACTICE } from '../flag.ts';
import { habitOf, oddness } from '../habit.ts';
import { type Counter, readingsOf } from '../readings.ts';

/** A single fill is noisy, for nobody fills to the same mark twice: three intervals are taken together; three to five is common practice, no source. */
const TOGETHER = 3;
const LEAST_HISTORY = 8;
/** A habit is what the vehicle did lately; older fills are of another season, and would make the cost grow with their square. */
const MOST_HISTORY = 60;
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
  *find(history) {
    const { byVehicle, fleet, called, volumeText } = history;
    for (const [id, all] of byVehicle) {
      const counter = fleet.vehicles.get(id)?.counter;
      if (counter !== 'odometer' && counter !== 'hours') continue;
      const spans = spansOf(history, all, counter);
      const rates = spans.map((_, i) => rateOf(spans.slice(Math.max(0, i - TOGETHER + 1), i + 1)));
      let flagged = Number.NEGATIVE_INFINITY;
      for (let n = LEAST_HISTORY + TOGETHER - 1; n < spans.length; n++) {
        // What three fills together said once is not said of the next three that share two of them.
        if (n - flagged < TOGETHER) continue;
        const rate = rates[n] as number;
        const [begin, end] = [Math.max(TOGETHER - 1, n - TOGETHER - MOST_HISTORY + 1), n - TOGETHER + 1];
        // Mostly it is nowhere near: counting says so without sorting anything.
        if (!isFarAbove(rates, begin, end, rate)) continue;
        const habit = habitOf(rates.slice(begin, end));
        if (oddness(habit, rate) < ODD || rate < habit.middle * (1 + LEAST_PART)) continue;
        flagged = n;
        const recent = spans.slice(n - TOGETHER + 1, n + 1);
        const volume = recent.reduce((sum, s) => sum + s.volume, 0);
        yield {
          at: (recent.at(-1) as Span).fill.from,
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

/** What was drawn from one believed reading to the next; exhaust fluid is no fuel. */
function spansOf(history: History, all: readonly FlagFill[], counter: Counter): Span[] {
  const fuel = all.filter((f) => history.fleet.products.get(f.product)?.kind !== 'def');
  const spans: Span[] = [];
  const readings = new Map([...readingsOf(history, fuel, counter)].map((r) => [r.fill, r]));
  let volume = 0;
  for (const fill of fuel) {
    volume += fill.volume;
    const r = readings.get(fill);
    if (!r || r.wrong) continue;
    const advance = r.last ? r.now - r.last.value : 0;
    if (r.last && advance === 0) continue;
    if (r.last) spans.push({ fill, volume, advance });
    volume = 0;
  }
  return spans;
}

/** Whether half of the rates from `begin` to before `end` lie so far below this one; if not, their middle does not either. */
function isFarAbove(rates: readonly number[], begin: number, end: number, rate: number): boolean {
  let below = 0;
  for (let i = begin; i < end; i++) if ((rates[i] as number) * (1 + LEAST_PART) <= rate) below++;
  return 2 * below >= end - begin;
}

const rateOf = (spans: readonly Span[]) =>
  spans.reduce((sum, s) => sum + s.volume, 0) / spans.reduce((sum, s) => sum + s.advance, 0);
