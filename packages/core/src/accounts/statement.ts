import { type Fleet, priceInForce, tierPrice, unitOf } from '../fleet/index.ts';
import { formatDate, type Microlitres, type Money, milliUnitsOf, type VolumeUnit } from '../units/index.ts';
import { isTaxableUse } from './dyed.ts';
import type { StatementLine } from './statement-line.ts';
import { backLine, type NoSale } from './taken-back.ts';
import { type Tax, taxedAmount, taxesInForce, toCent } from './tax.ts';

/** A fill as the ledger has it, on its day by the clock of the site's wall. */
export interface BilledFill {
  readonly id: string;
  readonly site: string;
  readonly product: string;
  readonly driver: string | null;
  readonly driverName: string;
  readonly vehicle: string | null;
  readonly vehicleName: string;
  readonly costCentre: string | null;
  /** Days since 1970-01-01. */
  readonly day: number;
  readonly volume: Microlitres;
  /** What the receipt said, a gallon or litre. */
  readonly price: Money | null;
}

/** An amount put right by a person: an entry of its own, never a change of a line. */
export interface Correction {
  readonly id: string;
  readonly date: string;
  readonly costCentre: string;
  readonly amount: Money;
  readonly reason: string;
  readonly by: string;
}

export interface Statement {
  readonly fleet: string;
  readonly currency: string;
  readonly unit: VolumeUnit;
  /** First and last day. */
  readonly from: string;
  readonly to: string;
  readonly taxes: readonly string[];
  readonly lines: readonly StatementLine[];
  readonly corrections: readonly Correction[];
}

export interface StatementInput {
  readonly fleet: Fleet;
  readonly taxes: readonly Tax[];
  readonly fills: readonly BilledFill[];
  readonly corrections: readonly Correction[];
  /** What earlier periods charged and this one takes back. */
  readonly noSales: readonly NoSale[];
  readonly from: number;
  readonly to: number;
}

/**
 * The statement of a span as a function of what is handed in. A fill is charged at the price of its cost centre's tier; where the tier
 * has none, at what the receipt said; where that is nothing, at the price now in force. A fill from before `from` is late. What turned
 * out to be no sale after its period was closed is a line with the opposite sign. Lines stand by cost centre, vehicle, day and fill.
 */
export function makeStatement({ fleet, taxes, fills, corrections, noSales, from, to }: StatementInput): Statement {
  const unit = unitOf(fleet.settings);
  const priced = fills.map((fill) => {
    const centre = fill.costCentre === null ? undefined : fleet.costCentres.get(fill.costCentre);
    const price =
      tierPrice(fleet, fill.site, fill.product, fill.day, centre?.tier ?? '') ??
      fill.price ??
      priceInForce(fleet, fill.site, fill.product, fill.day);
    const use = (fill.vehicle === null ? undefined : fleet.vehicles.get(fill.vehicle)?.use) ?? 'road';
    const productKind = fleet.products.get(fill.product)?.kind ?? 'other';
    const force = taxesInForce(taxes, fill.site, fill.product, fill.day);
    const amount = price === null ? undefined : taxedAmount(fill.volume, price, unit, force, productKind, use);
    return { fill, centre, price, use, productKind, amount };
  });
  const names = [
    ...new Set([
      ...priced.flatMap((p) => p.amount?.taxes.map((t) => t.name) ?? []),
      ...noSales.flatMap((n) => n.taxes.filter((_, i) => n.line.taxes[i] !== 0)),
    ]),
  ].sort();
  const charged = priced.map(({ fill, centre, price, use, productKind, amount }): StatementLine => {
    const site = fleet.sites.get(fill.site);
    return {
      fill: fill.id,
      date: formatDate(fill.day),
      site: site?.name ?? fill.site,
      jurisdiction: site?.jurisdiction ?? '',
      product: fleet.products.get(fill.product)?.name ?? fill.product,
      productKind,
      vehicle: fill.vehicleName,
      driver: fill.driverName,
      costCentre: centre?.name ?? fill.costCentre ?? '',
      code: centre?.code ?? '',
      use,
      volume: fill.volume,
      milli: milliUnitsOf(fill.volume, unit),
      price,
      net: amount?.net ?? 0,
      taxes: names.map((n) => amount?.taxes.find((t) => t.name === n)?.amount ?? 0),
      gross: amount?.gross ?? 0,
      late: fill.day < from,
      taxableUse: isTaxableUse(productKind, use),
    };
  });
  const lines = [...charged, ...noSales.map((n) => backLine(n, names, unit))];
  const key = (l: StatementLine) => [l.costCentre, l.vehicle, l.date, l.fill].join('\u0000');
  const keyed = lines.map((line) => ({ line, key: key(line) })).sort((a, b) => (a.key < b.key ? -1 : 1));
  return {
    fleet: fleet.settings.name,
    currency: fleet.settings.currency,
    unit,
    from: formatDate(from),
    to: formatDate(to),
    taxes: names,
    lines: keyed.map((k) => k.line),
    corrections: [...corrections]
      .map((c) => ({ ...c, amount: toCent(c.amount) }))
      .sort((a, b) => (`${a.date} ${a.id}` < `${b.date} ${b.id}` ? -1 : 1)),
  };
}

export interface Sums {
  /** Lines that are fills, those taken back later included. */
  readonly fills: number;
  /** Lines that take back what an earlier period charged. */
  readonly takenBack: number;
  readonly milli: number;
  readonly net: Money;
  readonly taxes: readonly Money[];
  readonly gross: Money;
  readonly corrections: Money;
  /** Gross and corrections. */
  readonly due: Money;
}

/** Sums of lines and corrections as they stand: nothing is rounded again. */
export function sumsOf(
  taxes: readonly string[],
  lines: readonly StatementLine[],
  corrections: readonly Correction[],
): Sums {
  let [takenBack, milli, net, gross] = [0, 0, 0, 0];
  const each = taxes.map(() => 0);
  for (const line of lines) {
    if (line.back) takenBack++;
    milli += line.milli;
    net += line.net;
    gross += line.gross;
    line.taxes.forEach((amount, i) => {
      each[i] = (each[i] as number) + amount;
    });
  }
  const corrected = corrections.reduce((sum, c) => sum + c.amount, 0);
  const fills = lines.length - takenBack;
  return { fills, takenBack, milli, net, taxes: each, gross, corrections: corrected, due: gross + corrected };
}

export type GroupBy = 'costCentre' | 'vehicle' | 'driver' | 'product';

/** The statement's sums by what it is grouped by, sorted by name; corrections belong to cost centres and count only there. */
export function groupsOf(statement: Statement, by: GroupBy): { readonly name: string; readonly sums: Sums }[] {
  const lines = new Map<string, StatementLine[]>();
  const corrections = new Map<string, Correction[]>();
  const into = <T>(map: Map<string, T[]>, key: string, value: T) => {
    const list = map.get(key);
    if (list) list.push(value);
    else map.set(key, [value]);
  };
  for (const line of statement.lines) into(lines, line[by], line);
  if (by === 'costCentre') for (const c of statement.corrections) into(corrections, c.costCentre, c);
  return [...new Set([...lines.keys(), ...corrections.keys()])]
    .sort()
    .map((name) => ({ name, sums: sumsOf(statement.taxes, lines.get(name) ?? [], corrections.get(name) ?? []) }));
}

export const wholeSums = (s: Statement): Sums => sumsOf(s.taxes, s.lines, s.corrections);
