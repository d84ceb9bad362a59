import { judge, judgeDrifts, type TankModel, tankModel } from '@fillwright/core/stock';
import { describe, expect, it } from 'vitest';
import { type TankLife, tankLife } from './tank-life.ts';

const LIMIT = 0.2 * 3.785411784;
const model = (life: TankLife): TankModel => {
  const m = tankModel(tankLife(life));
  if (typeof m === 'string') throw new Error(m);
  return m;
};
/** A month as the published table has them, fewer of them: docs/reference/wet-stock-truth.md. */
const month = (seed: number, part: Partial<TankLife> = {}) =>
  model({ seed, days: 30, fallMm: (seed % 5) * 12, drifts: [0.001, -0.002, 0], ...part });

describe('months of a simulated tank', () => {
  it('tight ones pass, a leak of 0.2 gal/h fails, and the interval holds the truth', () => {
    let inside = 0;
    for (let seed = 1; seed <= 4; seed++) {
      const tight = judge(month(seed));
      const leaks = judge(month(seed, { leakLitresPerHour: LIMIT }));
      expect([tight.verdict, leaks.verdict]).toEqual(['pass', 'fail']);
      if (Math.abs(tight.rate) < 2 * tight.margin) inside++;
    }
    expect(inside).toBeGreaterThanOrEqual(3);
  });
  it('every delivery is found once, near its bill', () => {
    const m = month(11);
    expect(m.deliveries.length).toBeGreaterThan(2);
    for (const d of m.deliveries) {
      expect(d.found && d.billed && d.netBy).toBe('its temperature');
      // 0.3 % of the bill, a tilted tank's chart, and the gauge.
      expect(Math.abs((d.differenceNet ?? 1e9) / (d.billedNet ?? 1))).toBeLessThan(0.02);
    }
  });
  it('fuel taken in one go is a sudden loss, and not a leak', () => {
    const m = month(12, { theft: { hour: 400.1, litres: 900 } });
    expect(m.losses).toHaveLength(1);
    expect(m.losses[0]?.netLitres).toBeGreaterThan(-1000);
    expect(m.losses[0]?.netLitres).toBeLessThan(-800);
    expect(judge(m).verdict).toBe('pass');
  });
  it('a gauge that is too coarse passes nobody', () => {
    const coarse = judge(month(13, { gaugeMm: 12 }));
    expect(coarse.leastSeen).toBeGreaterThan(LIMIT);
    expect(coarse.verdict).toBe('inconclusive');
  });
  it('neighbouring readings that err alike are seen as such: for how long, and with a wider interval', () => {
    const m = month(14, { gaugeMemory: 0.9 });
    expect(m.gauge.shared).toBeGreaterThan(0.9);
    // 0.9 of it half an hour later: 1/e of it after 4.7 h.
    expect(m.gauge.hours).toBeGreaterThan(2.5);
    expect(m.gauge.hours).toBeLessThan(9);
    expect(m.leak.deviation).toBeGreaterThan(1.5 * month(14).leak.deviation);
    expect([m, month(14, { gaugeMemory: 0.9, leakLitresPerHour: LIMIT })].map((x) => judge(x).verdict)).toEqual([
      'pass',
      'fail',
    ]);
  });
  it('an error that comes back every day at the same hour is no leak and no gain', () => {
    for (const gaugeDailyMm of [1, -1]) {
      const m = month(17, { gaugeDailyMm });
      expect(m.estimates.some((e) => e.part.kind === 'daily')).toBe(true);
      expect(Math.abs(m.leak.value)).toBeLessThan(3 * m.leak.deviation);
      expect(judge(m).verdict).toBe('pass');
    }
  });
  it('a drift of 0.5 % is put on its hose by a gauge of 0.3 mm', () => {
    const found = judgeDrifts(month(15, { gaugeMm: 0.3, drifts: [0, 0.005, 0] }));
    expect(found.hoses.find((d) => d.verdict === 'drifts')?.hose).toBe('h2');
  });
  it('two that drift at once are both named within 90 days', () => {
    const found = judgeDrifts(month(18, { days: 90, gaugeMm: 0.3, drifts: [0.005, 0, -0.005] }));
    expect(found.hoses.map((d) => d.verdict === 'drifts')).toEqual([true, false, true]);
  });
  it('one hose alone cannot be told apart from the chart', () => {
    const m = month(16, { drifts: [0.005] });
    expect(judgeDrifts(m).hoses[0]?.verdict).toBe('cannot be told apart');
    expect(judge(m).verdict).toBe('pass');
  });
  it('too little says so', () => {
    expect(tankModel(tankLife({ seed: 1, days: 3 }))).toBe('too short');
    expect(tankModel({ ...tankLife({ seed: 1, days: 3 }), readings: [] })).toBe('too few readings');
  });
});
