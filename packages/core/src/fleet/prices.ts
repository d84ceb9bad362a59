import { type Money, parseDate } from '../units/index.ts';
import type { Fleet } from './fleet.ts';

/**
 * The price in force for a product at a site on a local day (days since 1970-01-01): the site's own before one for every site, then the
 * one that holds from the latest date not after the day. For a cost centre of a `tier` a price of that tier comes before all without one;
 * without a tier, as at a terminal, only those without one count. Null when there is none. Per gallon or litre, as the fleet counts, in
 * 1/10,000 of the currency.
 */
export function priceInForce(fleet: Fleet, site: string, product: string, day: number, tier = ''): Money | null {
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
export function tierPrice(fleet: Fleet, site: string, product: string, day: number, tier: string): Money | null {
  if (tier === '') return null;
  const ofTier = new Map([...fleet.prices].filter(([, p]) => p.tier === tier));
  return priceInForce({ ...fleet, prices: ofTier }, site, product, day, tier);
}
