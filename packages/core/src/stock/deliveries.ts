import { type Billed, HOUR_MS } from './domain.ts';
import { gained, type Still, type StillTrace } from './still.ts';

/** Fuel that came into the tank by its level: between two readings at rest. Litres at the base temperature. */
export interface Found {
  /** Places in the trace: the last reading before and the first after. */
  readonly before: number;
  readonly after: number;
  readonly from: number;
  readonly to: number;
  readonly netLitres: number;
  /** One standard deviation of it, from the gauge's noise alone; an error of the chart comes on top. */
  readonly deviation: number;
}

/** A step is a delivery, or a sudden loss, beyond six deviations of a difference and a hundredth of the tank: a person would see it too. Common practice, no source. */
const SIGMAS = 6;
const PART = 0.01;

export const stepLimit = (trace: StillTrace, capacityLitres: number): number =>
  Math.max(SIGMAS * Math.SQRT2 * trace.noiseLitres, PART * capacityLitres);

/** Deliveries as steps of the level less what was drawn: rises one after another within an hour are one delivery. */
export function deliveriesFound(trace: StillTrace, capacityLitres: number): Found[] {
  return steps(trace, stepLimit(trace, capacityLitres), 1);
}

/** Sudden losses: falls that no draw explains. `netLitres` is below zero. */
export function lossesFound(trace: StillTrace, capacityLitres: number): Found[] {
  return steps(trace, stepLimit(trace, capacityLitres), -1);
}

function steps({ still, noiseLitres }: StillTrace, limit: number, sign: 1 | -1): Found[] {
  const found: Found[] = [];
  const deviation = Math.SQRT2 * noiseLitres;
  // While fuel runs in, each pair of readings may rise by less than the limit: a rise of half of it carries a delivery on.
  for (let i = 1; i < still.length; i++) {
    const [a, b] = [still[i - 1] as Still, still[i] as Still];
    const step = sign * gained(a, b);
    const last = found.at(-1);
    const carriesOn = last && last.after === i - 1 && b.at - last.to < HOUR_MS && step > limit / 2;
    if (carriesOn) {
      found[found.length - 1] = { ...last, after: i, to: b.at, netLitres: gained(still[last.before] as Still, b) };
    } else if (step > limit) {
      found.push({ before: i - 1, after: i, from: a.at, to: b.at, netLitres: sign * step, deviation });
    }
  }
  return found;
}

export interface Matched {
  readonly found: Found | null;
  readonly billed: Billed | null;
  /** Found less billed, litres at the base temperature; null where one is missing. */
  readonly differenceNet: number | null;
  /** The bill brought to the base temperature. */
  readonly billedNet: number | null;
  /** How the bill's net was had. */
  readonly netBy: 'bill' | 'its temperature' | 'the tank’s temperature' | null;
}

/** Farther apart a bill and a rise are not taken for the same delivery. */
const SAME_MS = 12 * HOUR_MS;

/** Sets what the level shows against the bills: nearest in time first, each once. What has no partner is shown alone. */
export function matchBills(
  found: readonly Found[],
  billed: readonly Billed[],
  netOf: (bill: Billed, found: Found | null) => { readonly litres: number; readonly by: NonNullable<Matched['netBy']> },
): Matched[] {
  const pairs = found
    .flatMap((f) => billed.map((b) => ({ f, b, apart: apart(f, b.at) })))
    .filter((p) => p.apart <= SAME_MS)
    .sort((x, y) => x.apart - y.apart);
  const partner = new Map<Found, Billed>();
  const taken = new Set<Billed>();
  for (const { f, b } of pairs)
    if (!partner.has(f) && !taken.has(b)) {
      partner.set(f, b);
      taken.add(b);
    }
  const of = (f: Found | null, b: Billed | null): Matched => {
    const bill = b && netOf(b, f);
    return {
      found: f,
      billed: b,
      billedNet: bill?.litres ?? null,
      netBy: bill?.by ?? null,
      differenceNet: f && bill ? f.netLitres - bill.litres : null,
    };
  };
  return [
    ...found.map((f) => of(f, partner.get(f) ?? null)),
    ...billed.filter((b) => !taken.has(b)).map((b) => of(null, b)),
  ].sort((x, y) => (x.found?.from ?? x.billed?.at ?? 0) - (y.found?.from ?? y.billed?.at ?? 0));
}

const apart = (f: Found, at: number): number => (at < f.from ? f.from - at : at > f.to ? at - f.to : 0);
