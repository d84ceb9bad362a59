import type { Fleet } from '../fleet/index.ts';
import { type Money, parseDate } from '../units/index.ts';

/**
 * The price in force for a product at a site on a local day (days since 1970-01-01), for a cost centre of `tier` ('' for none): a price
 * of the tier comes before one without, the site's own before one for every site, then the one that holds from the latest date not
 * after the day. Null when there is none. Per gallon or litre, as the fleet counts, in 1/10,000 of the currency.
 */
export function priceFor(fleet: Fleet, site: string, product: string, tier: string, day: number): Money | null {
  let best: { rank: number; from: number; price: Money } | undefined;
  for (const p of fleet.prices.values()) {
    if (p.product !== product || (p.site !== null && p.site !== site) || (p.tier !== '' && p.tier !== tier)) continue;
    const from = parseDate(p.from);
    if (from === undefined || from > day) continue;
    const rank = (p.tier !== '' ? 2 : 0) + (p.site !== null ? 1 : 0);
    if (!best || rank > best.rank || (rank === best.rank && from > best.from)) best = { rank, from, price: p.price };
  }
  return best?.price ?? null;
}

/** Only a price of the tier itself; null where the tier has none, so that what the receipt said stands. */
export function tierPrice(fleet: Fleet, site: string, product: string, tier: string, day: number): Money | null {
  if (tier === '') return null;
  const ofTier = new Map([...fleet.prices].filter(([, p]) => p.tier === tier));
  return priceFor({ ...fleet, prices: ofTier }, site, product, tier, day);
}
