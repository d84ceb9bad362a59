import fc from 'fast-check';
import { expect, it } from 'vitest';
import { emptyFleet, type Fleet, newRow } from '../fleet/index.ts';
import {
  type BilledFill,
  chargedLine,
  fuelByJurisdiction,
  fuelColumns,
  groupsOf,
  makeStatement,
  type NoSale,
  type Statement,
  statementColumns,
  type Tax,
  wholeSums,
} from './index.ts';

const settings = { name: 'Brook Haulage', units: 'us', currency: 'USD' } as const;
const fleetWhere = (jurisdiction: string): Fleet => ({
  ...emptyFleet(settings),
  products: new Map([
    ['diesel', newRow('products', { id: 'diesel', name: 'Diesel', kind: 'diesel' })],
    ['red', newRow('products', { id: 'red', name: 'Red', kind: 'dyed' })],
    ['def', newRow('products', { id: 'def', name: 'Fluid', kind: 'def' })],
  ]),
  sites: new Map([
    ['north', newRow('sites', { id: 'north', name: 'North', zone: 'UTC', jurisdiction })],
    ['south', newRow('sites', { id: 'south', name: 'South', zone: 'UTC', jurisdiction: 'Oxshire' })],
  ]),
  costCentres: new Map([['roads', newRow('costCentres', { id: 'roads', name: 'Roads', code: '10' })]]),
  vehicles: new Map([['v', newRow('vehicles', { id: 'v', name: 'Lorry', use: 'offRoad' })]]),
});

const tax = (part: Partial<Tax>): Tax => ({
  id: 'x',
  name: 'Levy',
  products: ['diesel', 'red'],
  sites: null,
  from: '2025-01-01',
  kind: 'volume',
  rate: 2440,
  inPrice: true,
  exempt: ['offRoad'],
  ...part,
});
const TAXES = [
  tax({}),
  tax({ name: 'Sales', kind: 'percent', rate: 62_500, inPrice: false, exempt: [] }),
  // Ends in the second period, so that a later statement would not know it by itself.
  tax({ name: 'Toll', rate: 333, inPrice: false, exempt: [] }),
  tax({ name: 'Toll', rate: 0, from: '2026-02-10' }),
];

const FIRST = 20_454; // 2026-01-01
const PERIODS = [0, 30, 60, 90].map((d) => ({ from: FIRST + d, to: FIRST + d + 29 }));

/** A fill of a period, and in which later period it turns out to be no sale; its own means before the close, none never. */
const oneFill = fc.record({
  period: fc.nat(2),
  day: fc.nat(29),
  site: fc.constantFrom('north', 'south'),
  product: fc.constantFrom('diesel', 'red', 'def'),
  vehicle: fc.constantFrom('v', null),
  costCentre: fc.constantFrom('roads', null),
  volume: fc.integer({ min: 1, max: 800_000_000 }),
  price: fc.option(fc.integer({ min: 0, max: 90_000 })),
  after: fc.option(fc.nat(2)),
});
type OneFill = Parameters<Parameters<typeof oneFill.map>[0]>[0];

/** Every period closed one after another, each with the jurisdiction that north has by then. */
function closeAll(parts: readonly OneFill[], fromTheStart: boolean): Statement[] {
  const closed: Statement[] = [];
  let noSales: NoSale[] = [];
  for (const [n, { from, to }] of PERIODS.entries()) {
    const fills = parts.flatMap((p, i): BilledFill[] => {
      const never = p.after !== null && (fromTheStart || p.after === 0);
      if (p.period !== n || never) return [];
      const { day, after, period, ...rest } = p;
      const names = { driver: null, driverName: 'Bo Finch', vehicleName: p.vehicle === null ? '' : 'Lorry' };
      return [{ ...rest, ...names, id: `f${i}`, day: from + day }];
    });
    const jurisdiction = n === 0 ? 'Fenland' : 'Oxshire';
    closed.push(
      makeStatement({ fleet: fleetWhere(jurisdiction), taxes: TAXES, fills, corrections: [], noSales, from, to }),
    );
    noSales = [];
    if (fromTheStart) continue;
    for (const [i, p] of parts.entries())
      if (p.after !== null && p.after > 0 && Math.min(p.period + p.after, PERIODS.length - 1) === n + 1) {
        const charged = chargedLine(closed[p.period] as Statement, `f${i}`);
        if (charged)
          noSales.push({ ...charged, id: `no-sale-f${i}`, date: '2026-03-01', reason: 'test fuel', by: 'Ada' });
      }
  }
  return closed;
}

/** Sums over all statements, by whatever they are shown by; what sums to nothing is left out. */
function said(statements: readonly Statement[]): Map<string, number> {
  const sums = new Map<string, number>();
  const add = (key: string, n: number) => sums.set(key, (sums.get(key) ?? 0) + n);
  const scaled = (text: string) => Number(text.replace('.', ''));
  for (const s of statements) {
    const whole = wholeSums(s);
    add('fills', whole.fills - whole.takenBack);
    add('due', whole.due);
    for (const c of statementColumns(s)) if (c.sum) add(`column ${c.heading}`, scaled(c.sum(whole)));
    for (const by of ['costCentre', 'vehicle', 'driver', 'product'] as const)
      for (const { name, sums: g } of groupsOf(s, by)) {
        add(`${by} ${name} due`, g.due);
        add(`${by} ${name} milli`, g.milli);
        for (const [i, t] of s.taxes.entries()) add(`${by} ${name} ${t}`, g.taxes[i] as number);
      }
    for (const f of fuelByJurisdiction(s)) {
      add(`fuel ${f.jurisdiction} ${f.product}`, f.milli);
      for (const [i, t] of s.taxes.entries()) add(`fuel ${f.jurisdiction} ${f.product} ${t}`, f.taxes[i] as number);
    }
  }
  return new Map([...sums].filter(([, n]) => n !== 0).sort());
}

it('sums over all periods are what they would have said had the fill been no sale from the start', () => {
  let taken = 0;
  fc.assert(
    fc.property(fc.array(oneFill, { maxLength: 25 }), (parts) => {
      const closed = closeAll(parts, false);
      taken += closed.reduce((sum, s) => sum + wholeSums(s).takenBack, 0);
      expect(said(closed)).toEqual(said(closeAll(parts, true)));
      for (const s of closed) {
        // The fuel's sums are those of its rows as they are shown, and all fuel is on the statement.
        const fuel = fuelByJurisdiction(s);
        const milli = s.lines.filter((l) => l.productKind !== 'def').reduce((sum, l) => sum + l.milli, 0);
        const column = fuelColumns(s).find((c) => c.heading.startsWith('Volume'));
        expect(Number(column?.sum?.(fuel).replace('.', ''))).toBe(milli);
        for (const f of fuel) if (f.back) expect(f.milli).toBeLessThanOrEqual(0);
      }
    }),
    { numRuns: 200, seed: 31 },
  );
  expect(taken).toBeGreaterThan(500);
});

it('a line taken back names its period, is no act with dyed fuel, and keeps what was charged though the fleet has changed', () => {
  const fill = { id: 'f', site: 'north', product: 'red', driver: null, driverName: '', vehicle: null, vehicleName: '' };
  const january = PERIODS[0] as { from: number; to: number };
  const span = { corrections: [], taxes: TAXES, ...january };
  const fills = [{ ...fill, costCentre: null, day: FIRST, volume: 37_854_118, price: 40_000 }];
  const closed = makeStatement({ ...span, fleet: fleetWhere('Fenland'), fills, noSales: [] });
  expect(closed.lines[0]).toMatchObject({ taxableUse: true, jurisdiction: 'Fenland' });
  const charged = chargedLine(closed, 'f');
  if (!charged) throw new Error('it was charged');
  const noSale = { ...charged, id: 'n', date: '2026-01-31', reason: 'test fuel', by: 'Ada' };
  const litres = { ...fleetWhere('Oxshire'), settings: { ...settings, units: 'metric' as const } };
  for (const [fleet, volume] of [
    [fleetWhere('Oxshire'), -10_000],
    [litres, -37_854],
  ] as const) {
    const next = makeStatement({
      ...span,
      fleet,
      fills: [],
      noSales: [noSale],
      from: january.to + 1,
      to: january.to + 30,
    });
    const line = next.lines[0];
    expect(line).toMatchObject({ jurisdiction: 'Fenland', taxableUse: false, late: false, milli: volume });
    expect(line?.back).toMatchObject({ from: '2026-01-01', to: '2026-01-30', by: 'Ada' });
    expect(chargedLine(next, 'f')).toBeUndefined();
    expect(wholeSums(next).due).toBe(-wholeSums(closed).due);
  }
});
