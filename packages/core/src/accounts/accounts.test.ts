import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { emptyFleet, type Fleet, fromJson, newRow, type Price, priceInForce, toJson } from '../fleet/index.ts';
import { amountOf, formatDate, MONEY_PER_UNIT, NANOLITRES_PER_GALLON } from '../units/index.ts';
import {
  type BilledFill,
  distancePerUnit,
  dyedPenalty,
  fuelByJurisdiction,
  groupsOf,
  makeStatement,
  type StatementLine,
  statementColumns,
  type Tax,
  taxableUnits,
  taxedAmount,
  taxesInForce,
  wholeSums,
} from './index.ts';

const gallons = (n: number) => Math.round((n * Number(NANOLITRES_PER_GALLON)) / 1000);
const dollars = (n: number) => n * MONEY_PER_UNIT;
const settings = { name: 'Brook Haulage', units: 'us', currency: 'USD' } as const;

const tax = (part: Partial<Tax>): Tax => ({
  id: 'x',
  name: 'Levy',
  products: ['diesel'],
  sites: null,
  from: '2026-01-01',
  kind: 'volume',
  rate: 2440,
  inPrice: true,
  exempt: ['offRoad', 'exempt'],
  ...part,
});

const priceRows = fc.array(
  fc.record({
    product: fc.constantFrom('diesel', 'petrol'),
    site: fc.constantFrom(null, 'north', 'south'),
    from: fc.integer({ min: 20_450, max: 20_470 }).map(formatDate),
    price: fc.integer({ min: 1, max: 50_000 }),
    tier: fc.constantFrom('', 'a', 'b'),
  }),
  { maxLength: 12 },
);

describe('the price in force', () => {
  it('is what a naive search finds; without a tier it is what the site’s receipts say', () => {
    fc.assert(
      fc.property(
        priceRows,
        fc.integer({ min: 20_448, max: 20_472 }),
        fc.constantFrom('', 'a', 'c'),
        (rows, day, tier) => {
          // Two prices from one day for the same thing are a finding; here the first one stays.
          const seen = new Map(rows.map((r) => [`${r.product} ${r.site} ${r.from} ${r.tier}`, r]));
          const prices = new Map<string, Price>(
            [...seen.values()].map((r, i) => [`p${i}`, newRow('prices', { id: `p${i}`, ...r })]),
          );
          const fleet: Fleet = { ...emptyFleet(settings), prices };
          const naive = () => {
            for (const t of tier === '' ? [''] : [tier, ''])
              for (const s of ['north', null])
                for (let d = day; d >= 20_440; d--)
                  for (const p of prices.values())
                    if (p.product === 'diesel' && p.tier === t && p.site === s && p.from === formatDate(d))
                      return p.price;
            return null;
          };
          expect(priceInForce(fleet, 'north', 'diesel', day, tier)).toBe(naive());
        },
      ),
      { numRuns: 400, seed: 5 },
    );
  });
});

describe('taxes of a line', () => {
  it('of one name the row of the site, then the latest, counts; a rate of nothing ends it', () => {
    const rows = [
      tax({ id: '1', rate: 100 }),
      tax({ id: '2', rate: 200, from: '2026-03-01' }),
      tax({ id: '3', rate: 300, from: '2026-02-01', sites: ['north'] }),
      tax({ id: '4', name: 'Other', rate: 0 }),
    ];
    const day = (text: string) => Date.parse(text) / 86_400_000;
    expect(taxesInForce(rows, 'south', 'diesel', day('2026-02-28')).map((t) => t.id)).toEqual(['1']);
    expect(taxesInForce(rows, 'south', 'diesel', day('2026-03-01')).map((t) => t.id)).toEqual(['2']);
    expect(taxesInForce(rows, 'north', 'diesel', day('2026-03-01')).map((t) => t.id)).toEqual(['3']);
    expect(taxesInForce(rows, 'south', 'petrol', day('2026-03-01'))).toEqual([]);
  });

  it('24.4 cents a gallon (26 USC 4081(a)(2)) on 100 gallons at 4.00: 24.40 of the 400.00', () => {
    const road = taxedAmount(gallons(100), 40_000, 'gal', [tax({})], 'diesel', 'road');
    expect(road).toEqual({
      net: dollars(375.6),
      taxes: [{ name: 'Levy', amount: dollars(24.4) }],
      gross: dollars(400),
    });
    const exempt = taxedAmount(gallons(100), 40_000, 'gal', [tax({})], 'diesel', 'exempt');
    expect(exempt).toEqual({ net: dollars(375.6), taxes: [{ name: 'Levy', amount: 0 }], gross: dollars(375.6) });
  });

  it('dyed diesel: untaxed off the road, taxed on top of its price in a road vehicle', () => {
    const on = tax({ exempt: [] });
    expect(taxedAmount(gallons(100), 30_000, 'gal', [on], 'dyed', 'offRoad').gross).toBe(dollars(300));
    expect(taxedAmount(gallons(100), 30_000, 'gal', [on], 'dyed', 'road')).toEqual({
      net: dollars(300),
      taxes: [{ name: 'Levy', amount: dollars(24.4) }],
      gross: dollars(324.4),
    });
  });

  it('a percentage on top is of the price with the levy; one in the price is taken out of it', () => {
    const sales = tax({ name: 'Sales', kind: 'percent', rate: 50_000, inPrice: false, exempt: [] });
    expect(taxedAmount(gallons(100), 40_000, 'gal', [tax({}), sales], 'diesel', 'road').gross).toBe(dollars(420));
    const inside = { ...sales, rate: 250_000, inPrice: true };
    expect(taxedAmount(gallons(100), 40_000, 'gal', [inside], 'diesel', 'road').net).toBe(dollars(320));
  });

  it('net and taxes are gross to the last unit, and every one a whole cent', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 2_000_000_000 }),
        fc.integer({ min: 0, max: 100_000 }),
        fc.constantFrom('gal' as const, 'l' as const),
        fc.array(
          fc.record({
            name: fc.string(),
            kind: fc.constantFrom('volume' as const, 'percent' as const),
            rate: fc.integer({ min: 1, max: 300_000 }),
            inPrice: fc.boolean(),
            exempt: fc.subarray(['road', 'offRoad', 'exempt'] as const),
          }),
          { maxLength: 5 },
        ),
        fc.constantFrom('diesel' as const, 'dyed' as const, 'petrol' as const),
        fc.constantFrom('road' as const, 'offRoad' as const, 'exempt' as const),
        (volume, price, unit, parts, kind, use) => {
          const got = taxedAmount(volume, price, unit, parts.map(tax), kind, use);
          const all = [got.net, got.gross, ...got.taxes.map((t) => t.amount)];
          expect(all.every((a) => Number.isSafeInteger(a) && a % 100 === 0)).toBe(true);
          expect(got.taxes.reduce((sum, t) => sum + t.amount, got.net)).toBe(got.gross);
          const nobodyExempt = parts.every((p) => !p.exempt.includes(use));
          const onTop = parts.some((p) => !p.inPrice);
          // With all taxes in the price and nobody exempt, the bill is what the receipt said, to the cent.
          if (nobodyExempt && !onTop && kind !== 'dyed')
            expect(Math.abs(got.gross - amountOf(volume, price, unit))).toBeLessThanOrEqual(50);
        },
      ),
      { numRuns: 500, seed: 11 },
    );
  });
});

it('the penalty for dyed fuel on the road: 26 USC 6715(b)', () => {
  expect(dyedPenalty(gallons(20))).toBe(dollars(1000));
  expect(dyedPenalty(gallons(100))).toBe(dollars(1000));
  expect(dyedPenalty(gallons(150))).toBe(dollars(1500));
  expect(dyedPenalty(gallons(20), 1)).toBe(dollars(2000));
});

describe('fuel by jurisdiction', () => {
  it('12,345 miles on 2,012 gallons are 6.14; 3,210 miles then used 523 gallons (IFTA: 2 decimals, whole gallons)', () => {
    const perUnit = distancePerUnit(12_345, 2_012_000);
    expect(perUnit).toBe(614);
    expect(taxableUnits(3210, perUnit as number)).toBe(523);
    expect(distancePerUnit(100, 0)).toBeUndefined();
  });
  it('diesel exhaust fluid is no fuel; what is taken back stands below what was drawn, by period', () => {
    const line = { jurisdiction: 'Oxshire', product: 'Diesel', productKind: 'diesel', milli: 5000, taxes: [100] };
    const back = (from: string, to: string) => ({ ...line, milli: -2000, taxes: [-40], back: { from, to } });
    const lines = [
      back('2026-04-01', '2026-04-30'),
      line,
      { ...line, product: 'Fluid', productKind: 'def' },
      back('2026-03-01', '2026-03-31'),
      line,
      back('2026-04-01', '2026-04-30'),
    ] as unknown as StatementLine[];
    const row = { jurisdiction: 'Oxshire', product: 'Diesel' };
    expect(fuelByJurisdiction({ lines })).toEqual([
      { ...row, back: null, milli: 10_000, taxes: [200] },
      { ...row, back: { from: '2026-03-01', to: '2026-03-31' }, milli: -2000, taxes: [-40] },
      { ...row, back: { from: '2026-04-01', to: '2026-04-30' }, milli: -4000, taxes: [-80] },
    ]);
  });
});

describe('a statement', () => {
  const fleet: Fleet = {
    ...emptyFleet(settings),
    products: new Map([['diesel', newRow('products', { id: 'diesel', name: 'Diesel' })]]),
    sites: new Map([
      ['north', newRow('sites', { id: 'north', name: 'North yard', zone: 'UTC', jurisdiction: 'Oxshire' })],
    ]),
    costCentres: new Map([
      ['roads', newRow('costCentres', { id: 'roads', name: 'Roads', code: '10' })],
      ['ferry', newRow('costCentres', { id: 'ferry', name: 'Ferry', code: '20', tier: 'outside' })],
    ]),
    prices: new Map([
      ['p1', newRow('prices', { id: 'p1', product: 'diesel', price: 40_000, from: '2026-01-01' })],
      ['p2', newRow('prices', { id: 'p2', product: 'diesel', price: 45_000, from: '2026-01-01', tier: 'outside' })],
    ]),
  };
  const fill = (id: string, part: Partial<BilledFill> = {}): BilledFill => ({
    id,
    site: 'north',
    product: 'diesel',
    driver: null,
    driverName: 'Bo Finch',
    vehicle: null,
    vehicleName: 'Lorry 1',
    costCentre: 'roads',
    day: 20_500,
    volume: gallons(10),
    price: 39_000,
    ...part,
  });

  it('charges what the receipt said, but for a tier that has a price; what came too late says so', () => {
    const s = makeStatement({
      fleet,
      taxes: [],
      fills: [fill('1'), fill('2', { costCentre: 'ferry', day: 20_480 }), fill('3', { price: null })],
      corrections: [{ id: 'c', date: '2026-02-20', costCentre: 'Roads', amount: -15_000, reason: 'spilt', by: 'Ada' }],
      noSales: [],
      from: 20_490,
      to: 20_510,
    });
    const by = new Map(s.lines.map((l) => [l.fill, l]));
    expect(['1', '2', '3'].map((id) => by.get(id)?.gross)).toEqual([dollars(39), dollars(45), dollars(40)]);
    expect(by.get('2')?.late).toBe(true);
    expect(by.get('1')?.late).toBe(false);
    expect(groupsOf(s, 'costCentre').map((g) => [g.name, g.sums.due])).toEqual([
      ['Ferry', dollars(45)],
      ['Roads', dollars(77.5)],
    ]);
  });

  it('adds up to the last unit: the printed lines are the printed sums, by whatever it is grouped', () => {
    const fills = fc.array(
      fc.record({
        volume: fc.integer({ min: 0, max: 800_000_000 }),
        price: fc.option(fc.integer({ min: 0, max: 90_000 })),
        costCentre: fc.constantFrom('roads', 'ferry', null),
        vehicleName: fc.constantFrom('Lorry 1', 'Boat', ''),
        day: fc.integer({ min: 20_480, max: 20_510 }),
      }),
      { maxLength: 30 },
    );
    const sales = tax({ name: 'Sales', kind: 'percent', rate: 62_500, inPrice: false });
    fc.assert(
      fc.property(fills, (parts) => {
        const s = makeStatement({
          fleet,
          taxes: [tax({}), sales],
          fills: parts.map((p, i) => fill(String(i), p)),
          corrections: [],
          noSales: [],
          from: 20_490,
          to: 20_510,
        });
        const whole = wholeSums(s);
        const scaled = (text: string) => Number(text.replace('.', ''));
        for (const column of statementColumns(s)) {
          if (!column.sum) continue;
          const printed = s.lines.reduce((sum, l) => sum + scaled(column.text(l)), 0);
          expect(printed).toBe(scaled(column.sum(whole)));
        }
        for (const by of ['costCentre', 'vehicle', 'driver', 'product'] as const)
          expect(groupsOf(s, by).reduce((sum, g) => sum + g.sums.due, 0)).toBe(whole.due);
      }),
      { numRuns: 100, seed: 2 },
    );
  });
});

it('a fleet kept before there were tiers and uses reads as before; other fields must be there', () => {
  const rows = {
    costCentres: new Map([['roads', newRow('costCentres', { id: 'roads', name: 'Roads' })]]),
    vehicles: new Map([['v', newRow('vehicles', { id: 'v', name: 'Lorry' })]]),
    sites: new Map([['s', newRow('sites', { id: 's', name: 'Yard', zone: 'UTC' })]]),
    prices: new Map([['p', newRow('prices', { id: 'p', product: 'diesel' })]]),
  };
  const fleet: Fleet = { ...emptyFleet(settings), ...rows };
  const later = new Set(['tier', 'use', 'jurisdiction']);
  const old = JSON.parse(JSON.stringify(toJson(fleet), (key, value) => (later.has(key) ? undefined : value)));
  expect(old.vehicles[0].use).toBeUndefined();
  expect(fromJson(old)).toEqual({ ok: true, value: fleet });
  delete old.vehicles[0].active;
  expect(fromJson(old).ok).toBe(false);
});
