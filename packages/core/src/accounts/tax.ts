import type { Product, Vehicle } from '../fleet/index.ts';
import { amountOf, divideRounded, type Microlitres, type Money, parseDate, type VolumeUnit } from '../units/index.ts';

export type Use = Vehicle['use'];

/** A tax as the office enters it from a published rate. None is built in. */
export interface Tax {
  readonly id: string;
  /** Rows of one name are one tax through time: of those that fit, the one from the latest day counts. */
  readonly name: string;
  readonly products: readonly string[];
  /** Null for every site; a row that names the site comes before one that does not. */
  readonly sites: readonly string[] | null;
  /** 'YYYY-MM-DD'. */
  readonly from: string;
  /** By volume, or in percent. */
  readonly kind: 'volume' | 'percent';
  /** By volume: 1/10,000 of the currency a gallon or litre. In percent: 1/10,000 of a percent. 0 ends the tax. */
  readonly rate: number;
  /** The price holds it already. */
  readonly inPrice: boolean;
  /** Uses that do not owe it. */
  readonly exempt: readonly Use[];
}

/** The taxes in force on a product at a site on a local day, one for each name, sorted by name. */
export function taxesInForce(taxes: readonly Tax[], site: string, product: string, day: number): Tax[] {
  const best = new Map<string, { tax: Tax; own: boolean; from: number }>();
  for (const tax of taxes) {
    const from = parseDate(tax.from);
    if (from === undefined || from > day || !tax.products.includes(product)) continue;
    if (tax.sites !== null && !tax.sites.includes(site)) continue;
    const own = tax.sites !== null;
    const held = best.get(tax.name);
    if (!held || (own && !held.own) || (own === held.own && from > held.from)) best.set(tax.name, { tax, own, from });
  }
  return [...best.values()]
    .map((b) => b.tax)
    .filter((t) => t.rate > 0)
    .sort((a, b) => (a.name < b.name ? -1 : 1));
}

/** The currency's cent: 1/100 of its unit, as Money. */
const CENT = 100n;
/** 100 % in the unit of `Tax.rate`. */
const WHOLE = 1_000_000n;

/** To a whole cent, half away from zero. */
export const toCent = (amount: Money): Money => Number(divideRounded(BigInt(amount), CENT) * CENT);

export interface TaxedAmount {
  /** Without any tax. */
  readonly net: Money;
  /** What is owed of each tax in force; 0 where the use is exempt. */
  readonly taxes: readonly { readonly name: string; readonly amount: Money }[];
  /** Exactly net and taxes together. */
  readonly gross: Money;
}

/**
 * Net, taxes and gross of one line, each a whole cent, rounded half away from zero once and then only added.
 * A tax in the price is taken out of it; what an exempt use does not owe comes off the bill. Percents are of the price with the taxes
 * by volume in it, all on one base. Dyed diesel is sold untaxed, so a tax by volume is never in its price: it comes on top in a road
 * vehicle and is not owed in any other use.
 * Domain: volume and price not negative. @throws RangeError otherwise.
 */
export function taxedAmount(
  volume: Microlitres,
  price: Money,
  unit: VolumeUnit,
  taxes: readonly Tax[],
  kind: Product['kind'],
  use: Use,
): TaxedAmount {
  if (volume < 0 || price < 0) throw new RangeError('volume and price cannot be below zero');
  const dyed = kind === 'dyed';
  const paid = toCent(amountOf(volume, price, unit));
  const owed = (t: Tax) => !t.exempt.includes(use) && !(dyed && t.kind === 'volume' && use !== 'road');
  const inside = (t: Tax) => t.inPrice && !(dyed && t.kind === 'volume');
  const amounts = new Map<Tax, Money>();
  const part = (base: Money, rate: number, of: bigint): Money =>
    Number(divideRounded(BigInt(base) * BigInt(rate), of * CENT) * CENT);

  const innerRates = taxes.filter((t) => t.kind === 'percent' && inside(t)).reduce((sum, t) => sum + t.rate, 0);
  for (const t of taxes) {
    if (t.kind === 'volume') amounts.set(t, toCent(amountOf(volume, t.rate, unit)));
    else if (inside(t)) amounts.set(t, part(paid, t.rate, WHOLE + BigInt(innerRates)));
  }
  const sum = (which: (t: Tax) => boolean) =>
    taxes.reduce((total, t) => total + (which(t) ? (amounts.get(t) ?? 0) : 0), 0);
  const withoutPercents = paid - sum((t) => t.kind === 'percent' && inside(t));
  const base =
    withoutPercents +
    sum((t) => t.kind === 'volume' && !inside(t) && owed(t)) -
    sum((t) => t.kind === 'volume' && inside(t) && !owed(t));
  for (const t of taxes) if (t.kind === 'percent' && !inside(t)) amounts.set(t, part(base, t.rate, WHOLE));

  const net = paid - sum(inside);
  const lines = taxes.map((t) => ({ name: t.name, amount: owed(t) ? (amounts.get(t) ?? 0) : 0 }));
  return { net, taxes: lines, gross: net + lines.reduce((total, t) => total + t.amount, 0) };
}
