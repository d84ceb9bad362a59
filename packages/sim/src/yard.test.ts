import { createHash } from 'node:crypto';
import { findings } from '@fillwright/core/findings';
import { YARD_PROMISES, type YardEvent } from '@fillwright/devices';
import { describe, expect, it } from 'vitest';
import { virtualClock } from './clock.ts';
import { demoPin, harrowmere } from './harrowmere/index.ts';
import { cardNumber, luhnDigit } from './harrowmere/roster.ts';
import { randomFrom } from './random.ts';
import { simulatedYard, yardShapeOf } from './yard.ts';

const START = 1_800_000_000_000;
const open = (seed: string) => {
  const clock = virtualClock(START);
  const yard = simulatedYard(yardShapeOf(harrowmere(), 'highfell'), { clock, seed });
  const hose = 'highfell-h2';
  return {
    clock,
    yard,
    hose,
    pass: (ms: number) => clock.runUntil(clock.now() + ms),
    lift: () => yard.lift(hose),
    hang: () => yard.hang(hose),
    squeeze: () => yard.squeeze(hose, 1),
  };
};

describe('the simulated yard keeps the promises of the port', () => {
  for (const p of YARD_PROMISES) it(p.says, () => p.keep(open('promises')));
});

function day(seed: string): string {
  const t = open(seed);
  const events: YardEvent[] = [];
  void t.yard.start((e) => events.push(e));
  t.yard.arm({ hose: t.hose, stopAtPulses: 900, slowAtPulses: 700 });
  t.pass(500);
  t.lift();
  t.squeeze();
  t.pass(60_000);
  return createHash('sha256')
    .update(JSON.stringify([events, t.yard.look()]))
    .digest('hex');
}

it('does the same again from the same seed, and otherwise from another', () => {
  expect(day('a')).toBe(day('a'));
  expect(day('a')).not.toBe(day('b'));
});

it('counts as many pulses as fuel came out, to one pulse', () => {
  const t = open('count');
  void t.yard.start(() => {});
  t.yard.arm({ hose: t.hose, stopAtPulses: 2_000, slowAtPulses: 1_800 });
  t.pass(500);
  t.lift();
  t.squeeze();
  t.pass(120_000);
  const h = t.yard.look().hoses[t.hose];
  const per = yardShapeOf(harrowmere(), 'highfell').hoses.find((x) => x.id === t.hose)?.pulsesPerUl ?? 0;
  expect(Math.abs((h?.deliveredUl ?? 0) * per - (h?.count ?? 0))).toBeLessThan(1);
  const tanks = t.yard.look().tanks;
  const gone =
    2 * Math.floor(10_000 * 3_785_411.784 * 0.55) - (tanks['highfell-t2']?.ul ?? 0) - (tanks['highfell-t3']?.ul ?? 0);
  expect(Math.abs(gone - (h?.deliveredUl ?? 0))).toBeLessThan(10);
});

it('says how old a count is when its listener was long busy with the hose before', () => {
  const virtual = virtualClock(START);
  let lost = 0;
  const clock = { now: () => virtual.now() + lost, after: virtual.after };
  const yard = simulatedYard(yardShapeOf(harrowmere(), 'highfell'), { clock, seed: 'slow disk' });
  const told: { hose: string; at: number; count: number }[] = [];
  let stalls = 0;
  void yard.start((e) => {
    if (e.kind !== 'pulses') return;
    told.push({ hose: e.hose, at: clock.now() - (e.ageMs ?? 0), count: e.count });
    // The first hose's checkpoint takes three seconds to reach the disk, now and then.
    if (e.hose === 'highfell-h1' && e.count > 0 && ++stalls % 20 === 0) lost += 3_000;
  });
  const hoses = ['highfell-h1', 'highfell-h2'];
  for (const hose of hoses) {
    yard.arm({ hose, stopAtPulses: 100_000, slowAtPulses: 99_000 });
    virtual.runUntil(virtual.now() + 100);
    yard.lift(hose);
    yard.squeeze(hose, 1);
  }
  virtual.runUntil(virtual.now() + 40_000);
  expect(stalls).toBeGreaterThan(40);
  // By the moments at which they were so, no count ever moves faster than the hose can give.
  for (const hose of hoses) {
    const most = (yardShapeOf(harrowmere(), 'highfell').hoses.find((h) => h.id === hose)?.flowUlPerMin ?? 0) / 60_000;
    const per = yardShapeOf(harrowmere(), 'highfell').hoses.find((h) => h.id === hose)?.pulsesPerUl ?? 0;
    const own = told.filter((t) => t.hose === hose);
    expect(own.length).toBeGreaterThan(20);
    for (const [i, t] of own.entries()) {
      const before = own[i - 1];
      if (before) expect(t.count - before.count).toBeLessThanOrEqual(Math.ceil((t.at - before.at) * most * per) + 1);
    }
  }
});

describe('Harrowmere', () => {
  it('has no finding that forbids its release', () => {
    expect(findings(harrowmere(), { today: 20_782 }).filter((f) => f.severity === 'error')).toEqual([]);
  });
  it('is the same from the same seed', () => {
    expect([...harrowmere('x').vehicles]).toEqual([...harrowmere('x').vehicles]);
    expect(harrowmere().drivers.size).toBe(60);
    expect(harrowmere().vehicles.size).toBe(45);
  });
  it('gives cards whole numbers and PINs that may be set', () => {
    // Worked values of the check digit (ISO/IEC 7812-1 Annex B).
    expect([luhnDigit('7992739871'), luhnDigit('400000123456'), luhnDigit('601112345678901')]).toEqual([3, 2, 9]);
    expect(cardNumber(1)).toMatch(/^\d{13}$/);
    for (const id of harrowmere().drivers.keys()) expect(demoPin(id)).toMatch(/^(?!(\d)\1{3})\d{4}$/);
  });
});

it('draws evenly', () => {
  const random = randomFrom('even');
  const bins = new Array<number>(10).fill(0);
  for (let i = 0; i < 100_000; i++) {
    const n = random.whole(0, 9);
    bins[n] = (bins[n] ?? 0) + 1;
  }
  for (const n of bins) expect(Math.abs(n - 10_000)).toBeLessThan(500);
});

it('shuts at the preset of its dispenser though the computer stalls', () => {
  const t = open('stall');
  let stalled = 0;
  // Time goes on during a stall, deeds do not.
  const clock = { now: () => t.clock.now() + stalled, after: t.clock.after };
  const yard = simulatedYard(yardShapeOf(harrowmere(), 'highfell'), { clock, seed: 'stall' });
  void yard.start(() => {});
  yard.arm({ hose: t.hose, stopAtPulses: 2_000, slowAtPulses: 1_800 });
  t.pass(500);
  yard.lift(t.hose);
  yard.squeeze(t.hose, 1);
  t.pass(10_000);
  const before = yard.look().hoses[t.hose]?.count ?? 0;
  stalled = 600_000;
  t.pass(1_000);
  const count = yard.look().hoses[t.hose]?.count ?? 0;
  expect(before).toBeLessThan(1_000);
  expect(count).toBeGreaterThanOrEqual(2_000);
  expect(count).toBeLessThanOrEqual(2_003);
});
