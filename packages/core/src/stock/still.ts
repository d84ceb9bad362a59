import { median } from 'simple-statistics';
import { BASE_C, type Drawn, type History } from './domain.ts';

/** A reading while nobody drew, with what the book says has left the tank until then. */
export interface Still {
  readonly at: number;
  readonly litres: number;
  readonly levelMm: number | null;
  /** By the gauge, brought to the base temperature. */
  readonly netLitres: number;
  readonly tempC: number | null;
  /** Metered since the first reading, per hose in the order of `hoses`, brought to the base temperature. */
  readonly drawn: readonly number[];
  /** All hoses together. */
  readonly drawnTotal: number;
  /** Metered since the first reading times its warmth above the base, litre kelvins: what an expansion other than supposed does to the book. */
  readonly drawnWarmth: number;
}

export interface StillTrace {
  readonly hoses: readonly string[];
  readonly still: readonly Still[];
  /** Litres of one standard deviation of the gauge, from differences of neighbours (median absolute deviation). */
  readonly noiseLitres: number;
  /** Readings left out because somebody drew, or had just drawn. */
  readonly leftOut: number;
}

/** Volume at the base temperature: both ends of a balance must be counted alike, or a warm day looks like a delivery. */
const net = (litres: number, tempC: number | null, perK: number): number =>
  tempC === null ? litres : litres / (1 + perK * (tempC - BASE_C));

/** Readings at rest with the running book beside them. Fills and readings in any order. */
export function stillTrace(history: History): StillTrace {
  const fills = [...history.fills].sort((a, b) => a.from - b.from);
  const readings = [...history.readings].sort((a, b) => a.at - b.at);
  const hoses = [...new Set(fills.map((f) => f.hose))].sort();
  const place = new Map(hoses.map((h, i) => [h, i]));
  let drawn: number[] = hoses.map(() => 0);
  let drawnTotal = 0;
  const still: Still[] = [];
  const begin = readings[0]?.at ?? 0;
  let [next, lastEnd] = [0, Number.NEGATIVE_INFINITY];
  let tempC: number | null = null;
  let drawnWarmth = 0;
  for (const r of readings) {
    // Readings between two fills share what was drawn until then.
    if ((fills[next]?.from ?? Number.POSITIVE_INFINITY) < r.at) drawn = [...drawn];
    for (; (fills[next]?.from ?? Number.POSITIVE_INFINITY) < r.at; next++) {
      const f = fills[next] as Drawn;
      lastEnd = Math.max(lastEnd, f.to);
      if (f.from < begin) continue;
      const hose = place.get(f.hose) as number;
      const fuelC = tempC ?? r.tempC;
      const litres = net(f.litres, fuelC, history.expansionPerK);
      drawn[hose] = (drawn[hose] as number) + litres;
      drawnTotal += litres;
      drawnWarmth += f.litres * ((fuelC ?? BASE_C) - BASE_C);
    }
    tempC = r.tempC ?? tempC;
    if (lastEnd > r.at - history.gaugeLagMs) continue;
    still.push({
      at: r.at,
      litres: r.litres,
      levelMm: r.levelMm ?? null,
      netLitres: net(r.litres, tempC, history.expansionPerK),
      tempC,
      drawn,
      drawnTotal,
      drawnWarmth,
    });
  }
  return { hoses, still, noiseLitres: noiseOf(still), leftOut: readings.length - still.length };
}

/** What came into the tank between two readings that the book's draws do not explain; below zero: what went. Litres at base temperature. */
export const gained = (before: Still, after: Still): number =>
  after.netLitres - before.netLitres + after.drawnTotal - before.drawnTotal;

/** 1.4826 x median |d| / sqrt 2 is the deviation of one reading when the differences d are normal. */
function noiseOf(still: readonly Still[]): number {
  const steps: number[] = [];
  for (let i = 1; i < still.length; i++) steps.push(Math.abs(gained(still[i - 1] as Still, still[i] as Still)));
  return steps.length === 0 ? 0 : (1.4826 * median(steps)) / Math.SQRT2;
}
