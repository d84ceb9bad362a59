import type { YardEvent } from '@fillwright/devices';
import { describe, expect, it } from 'vitest';
import { virtualClock } from './clock.ts';
import { harrowmere } from './harrowmere/index.ts';
import type { PulserFault } from './pulser.ts';
import { simulatedYard, yardShapeOf } from './yard.ts';

const HOSE = 'highfell-h2';

/** A hose that is armed and drawn from, with its pulser as given; what the yard tells. */
function drawn(kind: 'single' | 'two', fault: PulserFault) {
  const clock = virtualClock(1_800_000_000_000);
  const shape = yardShapeOf(harrowmere(), 'highfell');
  const hoses = shape.hoses.map((h) => (h.id === HOSE ? { ...h, pulser: kind } : h));
  const yard = simulatedYard({ ...shape, hoses }, { clock, seed: 'pulser', counts: { [HOSE]: 700 } });
  const events: YardEvent[] = [];
  void yard.start((e) => events.push(e));
  const pass = (ms: number) => clock.runUntil(clock.now() + ms);
  pass(1_000);
  yard.arm({ hose: HOSE, stopAtPulses: 100_000, slowAtPulses: 90_000 });
  pass(500);
  yard.lift(HOSE);
  yard.squeeze(HOSE, 1);
  pass(4_000);
  const good = yard.look().hoses[HOSE];
  yard.pulser(HOSE, fault);
  pass(8_000);
  const doubts = events.flatMap((e) => (e.kind === 'pulserDoubt' ? [e.words] : []));
  return {
    good,
    look: yard.look().hoses[HOSE],
    doubts,
    perUl: shape.hoses.find((h) => h.id === HOSE)?.pulsesPerUl ?? 0,
  };
}

describe('a simulated pulser', () => {
  it.each(['single', 'two'] as const)('counts every pulse that flowed and doubts nothing: %s', (kind) => {
    const { look, doubts, perUl } = drawn(kind, 'none');
    expect(doubts).toEqual([]);
    const exact = 700 + Math.floor((look?.deliveredUl ?? 0) * perUl);
    expect(look?.count).toBeGreaterThan(1_000);
    expect(Math.abs((look?.count ?? 0) - exact)).toBeLessThanOrEqual(1);
  });
  it.each([
    ['two', 'stuckA', 'one channel stands still'],
    ['two', 'stuckB', 'one channel stands still'],
    ['two', 'missed', 'an edge was missed'],
    ['two', 'reversed', 'ran back'],
    ['two', 'chatter', 'faster than fuel'],
    ['single', 'chatter', 'faster than fuel'],
  ] as const)('%s: %s is told', (kind, fault, words) => {
    const { doubts, good } = drawn(kind, fault);
    expect(good?.count).toBeGreaterThan(700);
    expect(doubts[0]).toContain(words);
  });
});
