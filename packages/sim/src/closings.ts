import { closeOrder, KEPT_LAGS, type Lag, learnLag } from '@fillwright/core/metering';
import { pulsesWithin, type VolumeUnit } from '@fillwright/core/units';
import { type HoseShape, hosePhysics, pass, shut } from './hose.ts';
import { randomFrom } from './random.ts';

/** How a row of fills ended at their limits, one hose, one after another, each learning from those before. */
export interface Closing {
  /** Pulses above the limit; below it: less than 0. */
  readonly over: number;
  /** What was known when the order was given. */
  readonly lag: Lag;
  /** What ran on after the order to close. */
  readonly ranOn: number;
}

export interface ClosingsOptions {
  readonly seed: string;
  readonly fills: number;
  readonly hose: Omit<HoseShape, 'id' | 'tanks' | 'pulsesPerUl'>;
  /** Thousandths of a pulse per gallon or litre. */
  readonly pulsesPerMeasure: number;
  readonly unit: VolumeUnit;
  readonly leastUl: number;
  readonly mostUl: number;
  /** Of the closings, how many the person's hand spoils: it closes the nozzle just before. */
  readonly handShare: number;
  /** Without it the order goes out at the limit itself, as if nothing were learnt. */
  readonly learn?: boolean;
}

/** A dispenser that closes by itself looks at its count so often. */
const TICK_MS = 5;
const UL_PER_GALLON = 3_785_411.784;

export function closings(options: ClosingsOptions): Closing[] {
  const { unit, pulsesPerMeasure, hose, learn = true } = options;
  const random = randomFrom(`closings/${options.seed}`);
  const pulsesPerUl = pulsesPerMeasure / 1_000 / (unit === 'gal' ? UL_PER_GALLON : 1_000_000);
  const h = hosePhysics({ ...hose, id: 'h', tanks: [], pulsesPerUl }, 0);
  const known = { flowUlPerMin: hose.flowUlPerMin, pulsesPerMeasure };
  const lags: number[] = [];
  const out: Closing[] = [];
  let at = 0;
  while (out.length < options.fills) {
    const limit = pulsesWithin(random.whole(options.leastUl, options.mostUl), pulsesPerMeasure, unit);
    const lag = learnLag(known, unit, lags);
    const { stopAtPulses, slowAtPulses } = closeOrder(known, unit, limit, learn ? lag : { ...lag, ahead: 0 });
    const base = h.count;
    const spoilt = random.chance(options.handShare);
    Object.assign(h, { open: true, out: true, low: slowAtPulses === 0, hand: random.between(0.5, 1) });
    for (; h.open || h.flow > 0 || at < h.shutsAt; at += TICK_MS) {
      pass(h, at, TICK_MS, true);
      const pulses = h.count - base;
      if (pulses >= slowAtPulses) h.low = true;
      if (spoilt && h.open && pulses >= stopAtPulses - 1) h.hand = 0.02;
      if (pulses >= stopAtPulses) shut(h, at, random);
    }
    const ranOn = h.count - base - stopAtPulses;
    lags.push(ranOn);
    if (lags.length > KEPT_LAGS) lags.shift();
    out.push({ over: h.count - base - limit, lag, ranOn });
  }
  return out;
}
