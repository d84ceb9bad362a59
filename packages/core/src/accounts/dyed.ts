import type { Product } from '../fleet/index.ts';
import { amountOf, type Microlitres, MONEY_PER_UNIT, type Money } from '../units/index.ts';
import { toCent, type Use } from './tax.ts';

/** Dyed fuel in a road vehicle: it owes the tax, and the use itself may be penalised. */
export const isTaxableUse = (kind: Product['kind'], use: Use): boolean => kind === 'dyed' && use === 'road';

/**
 * What one act of using dyed fuel on the road may cost in the United States, in 1/10,000 of a dollar: the greater of $1,000 and $10 a
 * gallon, the $1,000 growing by $1,000 for each earlier penalty (26 USC 6715(b)). Decision support: the authority decides what is
 * an act. Domain: volume not negative, `earlier` a whole number from 0. @throws RangeError otherwise.
 */
export function dyedPenalty(volume: Microlitres, earlier = 0): Money {
  if (volume < 0 || !Number.isSafeInteger(earlier) || earlier < 0) throw new RangeError('not a volume or a count');
  return Math.max(1000 * (1 + earlier) * MONEY_PER_UNIT, toCent(amountOf(volume, 10 * MONEY_PER_UNIT, 'gal')));
}
