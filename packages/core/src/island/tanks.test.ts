import { describe, expect, it } from 'vitest';
import { driver } from '../../test/island/yard.ts';

const HALF_HOUR = 1_800_000;
type Driver = ReturnType<typeof driver>;
const level = (d: Driver, ul: number, tank = 'a') => d.feed({ kind: 'level', tank, ul, levelMm: 1_000, tempC: 12 });
const readings = (d: Driver, tank = 'a') =>
  d.entries().flatMap((e) => (e.kind === 'reading' && e.tank === tank ? [[e.when, e.ul, e.at] as const] : []));
const quiet = (d: Driver, tank = 'a') => readings(d, tank).filter(([when]) => when === 'quiet');

/** Hangs up and settles: the fill on h1 is over. */
function over(d: Driver): void {
  d.feed({ kind: 'hung', hose: 'h1' });
  d.feed({ kind: 'disarmed', hose: 'h1', count: d.hose().count ?? 0 });
  d.due('hose', 'h1', 'settle');
  d.durable('ended');
  expect(d.hose().fill).toBeNull();
}

describe('a gauge that tells a level alone', () => {
  const state = (d: Driver) => d.state().tanks.c;
  it('is read by the tank’s chart: low stops its hoses, below the chart counts as empty, above it is not known', () => {
    const d = driver().ready();
    d.feed({ kind: 'level', tank: 'c', levelMm: 700 });
    expect(state(d)).toMatchObject({ ul: 600_000_000, forbids: [] });
    expect(readings(d, 'c')).toMatchObject([['quiet', 600_000_000, expect.any(Number)]]);
    d.feed({ kind: 'level', tank: 'c', levelMm: 190 });
    expect(state(d)?.forbids).toEqual(['tankLow']);
    d.feed({ kind: 'level', tank: 'c', levelMm: 20 });
    expect(state(d)).toMatchObject({ ul: 0, forbids: ['tankLow'] });
    d.feed({ kind: 'level', tank: 'c', levelMm: 1_300 });
    expect(state(d)).toMatchObject({ ul: null, forbids: [] });
  });
  it('a volume from the gauge goes before the chart', () => {
    const d = driver().ready();
    d.feed({ kind: 'level', tank: 'c', levelMm: 700, ul: 650_000_000 });
    expect(state(d)?.ul).toBe(650_000_000);
  });
});

describe('levels at rest', () => {
  it('are kept every half hour while nobody draws, however often the gauge speaks', () => {
    const d = driver().ready();
    for (let s = 0; s <= 2 * 3_600; s += 30) {
      level(d, 900_000_000 - s);
      d.wait(30_000);
    }
    const at = quiet(d).map(([, , when]) => when);
    expect(at).toHaveLength(5);
    for (const [i, t] of at.entries()) if (i > 0) expect(t - (at[i - 1] as number)).toBe(HALF_HOUR);
    expect(readings(d)).toHaveLength(5);
  });

  it('begin with the first level after a fill, and none is kept while fuel may flow from the tank', () => {
    const d = driver().ready();
    level(d, 900_000_000);
    d.wait(60_000);
    d.flowing();
    // The fill's own start is on the record; what the gauge says meanwhile is not at rest.
    for (let i = 0; i < 3; i++) {
      d.wait(HALF_HOUR);
      level(d, 890_000_000 - i);
    }
    expect(readings(d).map(([when]) => when)).toEqual(['quiet', 'fillStart']);
    over(d);
    expect(readings(d).map(([when]) => when)).toEqual(['quiet', 'fillStart', 'fillEnd']);
    d.wait(20_000);
    level(d, 880_000_000);
    d.wait(30_000);
    level(d, 880_000_001);
    expect(quiet(d).map(([, ul]) => ul)).toEqual([900_000_000, 880_000_000]);
    d.wait(HALF_HOUR);
    level(d, 879_000_000);
    expect(quiet(d).map(([, ul]) => ul)).toEqual([900_000_000, 880_000_000, 879_000_000]);
  });

  it('are each tank’s own: a fill elsewhere does not disturb one, a fill from a manifold disturbs both', () => {
    const d = driver().ready();
    for (const tank of ['a', 'b', 'c']) level(d, 500_000_000, tank);
    d.flowing();
    d.wait(HALF_HOUR);
    for (const tank of ['a', 'b', 'c']) level(d, 490_000_000, tank);
    expect(quiet(d, 'a')).toHaveLength(1);
    expect(quiet(d, 'b')).toHaveLength(1);
    expect(quiet(d, 'c').map(([, ul]) => ul)).toEqual([500_000_000, 490_000_000]);
  });

  it('are not kept of a gauge that is lost, and begin again when it speaks', () => {
    const d = driver().ready();
    level(d, 500_000_000, 'c');
    d.wait(HALF_HOUR);
    d.feed({ kind: 'probeLost', tank: 'c' });
    expect(quiet(d, 'c')).toHaveLength(1);
    d.wait(HALF_HOUR);
    level(d, 499_000_000, 'c');
    expect(quiet(d, 'c').map(([, ul]) => ul)).toEqual([500_000_000, 499_000_000]);
  });
});
