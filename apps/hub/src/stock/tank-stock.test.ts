import { newRow, type Tank } from '@fillwright/core/fleet';
import { litresAt } from '@fillwright/core/metering';
import { zoneTable } from '@fillwright/core/units';
import { type TankLife, tankLife } from '@fillwright/sim';
import { call, ROUTES } from '@fillwright/wire';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fillDraft, openOffice, type TestOffice } from '../testing/office.ts';
import type { TankRows } from './rows.ts';
import { tankStock } from './tank-stock.ts';

const DAY = 86_400_000;
const ul = (litres: number) => Math.round(litres * 1_000_000);

/** The rows that a simulated tank's life leaves in the ledger. */
function rowsOf(life: TankLife): { rows: TankRows; capacity: number; to: number } {
  const h = tankLife(life);
  const bill = new Map(h.billed.map((b) => [b.id, b]));
  const rows: TankRows = {
    readings: h.readings.map((r) => ({
      at: Math.round(r.at),
      moment: 'quiet',
      volume: ul(r.litres),
      level_mm: r.levelMm,
      temp_c: r.tempC,
      water_mm: r.waterMm,
    })),
    fills: h.fills.map((f) => ({
      id: f.id,
      hose: f.hose,
      started: f.from,
      at: Math.round(f.to),
      volume: ul(f.litres),
      tanks: 1,
      back: 0,
    })),
    others: [...bill.values()].map((b) => ({
      id: b.id,
      at: Math.round(b.at),
      kind: 'delivery' as const,
      volume: ul(b.litres),
      document: b.id,
      gross: ul(b.litres),
      net: null,
      temp_c: b.tempC,
      compartments: [],
      note: '',
    })),
    demand: h.fills.map((f) => ({ at: Math.round(f.to), volume: ul(f.litres) })),
    book: ul(h.closing.litres + 1_000),
  };
  return { rows, capacity: ul(h.body.capacityLitres), to: h.readings.at(-1)?.at ?? 0 };
}

function stockOf(life: TankLife, body: Partial<Tank> = {}) {
  const { rows, capacity, to } = rowsOf(life);
  const tank = newRow('tanks', {
    id: 't',
    site: 's',
    name: 'T',
    product: 'p',
    capacity,
    low: Math.floor(capacity / 20),
    ...body,
  });
  return tankStock(
    {
      tank,
      productKind: 'diesel',
      zone: zoneTable('America/Denver'),
      from: to - 30 * DAY,
      to: Math.round(to),
      leadDays: 2,
      netBaseC: 15,
      units: 'metric',
      hoseNames: {},
    },
    rows,
  );
}

describe('a tank’s stock from the ledger’s rows', () => {
  it('a tight tank: every part of the answer, in the form that the route promises', () => {
    const stock = stockOf({ seed: 3, days: 34, fallMm: 20 });
    expect(ROUTES.tankStock.reply.parse(stock)).toEqual(stock);
    expect(stock.model?.verdict).toBe('pass');
    expect(stock.month?.within).toBe(true);
    expect(stock.deliveries.every((d) => d.found && d.bill && d.difference !== null)).toBe(true);
    expect(stock.runOut?.ahead).toHaveLength(14);
    // The book says that a cubic metre more is in it than was measured: then so much less fits in.
    expect((stock.runOut?.room ?? 0) + (stock.trace.at(-1)?.[1] ?? 0)).toBeLessThan(stock.safe - 900_000_000);
    for (const d of stock.days) expect(d.book + d.over).toBe(d.measured);
    expect(stock.days.at(-1)?.cumulative).toBe(stock.month?.over);
  });
  it('reads levels by the tank’s own strapping table, which the gauge does not know', () => {
    const life = { seed: 6, days: 34, fallMm: 0 };
    const given = stockOf(life);
    // The tank of the simulation as its body: 2,500 mm by 8,000 mm.
    const body = { diameter: 2_500_000, length: 8_000_000 };
    const own = stockOf(life, body);
    expect(own.trace.length).toBe(given.trace.length);
    for (const [i, [, volume]] of own.trace.entries())
      expect(Math.abs(volume - (given.trace[i]?.[1] ?? 0))).toBeLessThan(3_000_000);
    expect(own.model?.verdict).toBe('pass');
    const half = stockOf(life, { ...body, length: 4_000_000 });
    expect(half.trace[0]?.[1]).toBeCloseTo((own.trace[0]?.[1] ?? 0) / 2, -7);
  });
  it('a tank that does not stand level makes its own chart, nearer to its truth than the one in use', () => {
    const fallMm = 100;
    const stock = stockOf({ seed: 7, days: 34, fallMm, drifts: [0, 0, 0] });
    const own = stock.ownChart;
    if (!own) throw new Error(stock.noOwnChart ?? 'none');
    const flat = { kind: 'flat' } as const;
    const shape = { kind: 'lying cylinder', diameterMm: 2_500, lengthMm: 8_000, near: flat, far: flat } as const;
    // By numerical integration of the tilted body.
    const truth = (mm: number) => {
      const at = litresAt({ ...shape, tilt: { fallMm, gaugeMm: 600 } }, mm);
      if (!at.ok) throw new Error(at.error.cause);
      return at.value;
    };
    const low = own.points[0]?.mm ?? 0;
    let [inside, nearer] = [0, 0];
    for (const p of own.points.slice(1)) {
      const right = truth(p.mm) - truth(low);
      if (Math.abs(p.fitted - right) <= p.margin) inside++;
      if (Math.abs(p.fitted - right) < Math.abs(p.used - right)) nearer++;
    }
    expect(inside).toBeGreaterThanOrEqual(20);
    expect(nearer).toBeGreaterThanOrEqual(18);
    const rows = own.proposed?.rows ?? [];
    expect(rows.length).toBeGreaterThan(200);
    expect(rows.every(([, v], i) => i === 0 || v > (rows[i - 1]?.[1] ?? 0))).toBe(true);
    expect(rows.at(-1)?.[0]).toBe(2_500 * 10_000);
    expect(own.usedBy).toBe('supposed');
    expect(stockOf({ seed: 7, days: 1 })).toMatchObject({ ownChart: null, noOwnChart: 'cannot be told apart' });
  });
  it('a leaking one fails', () => {
    const stock = stockOf({ seed: 4, days: 34, leakLitresPerHour: 0.757 });
    expect(stock.model).toMatchObject({ verdict: 'fail', why: 'lost' });
  });
  it('a young one says that it does not know', () => {
    const stock = stockOf({ seed: 5, days: 4 });
    expect(stock).toMatchObject({ model: null, noModel: 'too short', runOut: null });
  });
});

describe('the routes of wet stock', () => {
  let office: TestOffice;
  beforeAll(async () => {
    office = await openOffice();
  });
  afterAll(() => office?.stop());

  it('a bill of lading goes into the book once, and is kept beside it', async () => {
    await fillDraft(office);
    const params = { tank: 't2' };
    const body = {
      at: office.clock.at,
      gross: 8_000_000_000,
      net: 7_950_000_000,
      tempC: 20,
      document: 'B 17',
      compartments: [5_000_000_000, 3_000_000_000],
    };
    const wrong = await call(office.owner, 'addDelivery', { params, body: { ...body, compartments: [1] } });
    expect(!wrong.ok && wrong.error.problem.at?.field).toBe('compartments');
    expect(await call(office.owner, 'addDelivery', { params, body })).toMatchObject({
      ok: true,
      value: { book: 8_000_000_000, note: 'B 17' },
    });
    const stock = await call(office.owner, 'tankStock', { params, query: {} });
    expect(stock).toMatchObject({ ok: true, value: { tank: 't2', model: null, noModel: 'too few readings' } });
    expect(await call(office.owner, 'tankStock', { params: { tank: 'none' }, query: {} })).toMatchObject({ ok: false });
  });
});
