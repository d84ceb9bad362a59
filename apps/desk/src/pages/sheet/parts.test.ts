import { applyEdits, checkRow, emptyFleet, type Fleet, newRow } from '@fillwright/core/fleet';
import { describe, expect, it } from 'vitest';
import { freeId, leastFree, nextHose, nextIsland, nextPump, nextSite, nextTank, nextTerminal } from './add.ts';
import type { Placed } from './layout.ts';
import { layout } from './layout.ts';
import { partName } from './names.ts';
import { neighbour, readingOrder } from './neighbour.ts';

const put = (
  fleet: Fleet,
  table: 'products' | 'sites' | 'islands' | 'tanks' | 'pumps' | 'terminals' | 'hoses',
  row: { id: string },
) => {
  const next = applyEdits(fleet, [{ op: 'put', table, row: { ...row } }]);
  if (!next.ok) throw new Error(JSON.stringify(next.error));
  return next.value;
};

function started(): Fleet {
  let f = emptyFleet({ name: 'Invented', units: 'us', currency: 'USD' });
  f = put(f, 'products', newRow('products', { id: 'petrol', name: 'Petrol', kind: 'petrol' }));
  f = put(f, 'sites', nextSite(f, 'America/Chicago'));
  f = put(f, 'tanks', nextTank(f, 'site-1'));
  f = put(f, 'pumps', nextPump(f, 'site-1'));
  f = put(f, 'islands', nextIsland(f, 'site-1'));
  return put(f, 'terminals', nextTerminal(f, [...f.islands.values()][0] ?? newRow('islands', { id: 'none' })));
}

describe('the next part', () => {
  it('follows from what stands there: pump on the tank without one, hose with product, terminal, number and channel', () => {
    const f = started();
    const island = f.islands.get('site-1-island-1');
    if (!island) throw new Error('no island');
    const hose = nextHose(f, island);
    expect(hose).toMatchObject({
      number: 1,
      channel: 1,
      product: 'petrol',
      pump: 'site-1-pump-1',
      terminals: ['site-1-terminal-1'],
      longest: 10,
    });
    expect(f.pumps.get('site-1-pump-1')?.tanks).toEqual(['site-1-tank-1']);
    expect(checkRow('hoses', hose)).toEqual([]);
  });
  it('takes the least free number and channel, each by itself', () => {
    let f = started();
    const island = f.islands.get('site-1-island-1') ?? newRow('islands', { id: 'none' });
    for (const [number, channel] of [
      [1, 2],
      [3, 1],
    ] as const)
      f = put(
        f,
        'hoses',
        newRow('hoses', {
          id: `h${number}`,
          island: island.id,
          product: 'petrol',
          site: 'site-1',
          number,
          channel,
          pulses: 200_000,
          pump: 'site-1-pump-1',
        }),
      );
    expect(nextHose(f, island)).toMatchObject({ number: 2, channel: 3, pulses: 200_000 });
    expect(leastFree([1, 2], 2)).toBeNull();
  });
  it('never takes an id that is taken, whatever the words', () => {
    let f = started();
    f = put(f, 'tanks', newRow('tanks', { id: 'zoe', site: 'site-1', name: 'x', product: 'petrol' }));
    expect(freeId(f, 'tanks', 'Zoë')).toBe('zoe-2');
    expect(freeId(f, 'tanks', '¡!')).toBe('new');
    expect(freeId(f, 'tanks', 'x'.repeat(300)).length).toBeLessThanOrEqual(60);
  });
});

describe('names and moves', () => {
  let f = started();
  const island = f.islands.get('site-1-island-1') ?? newRow('islands', { id: 'none' });
  for (let i = 0; i < 2; i++) {
    const hose = nextHose(f, island);
    if (hose) f = put(f, 'hoses', hose);
  }
  const parts = layout(f, 'site-1').parts;
  const at = (p: Placed | undefined) => p && `${p.table} ${p.id}`;

  it('says what, of what and where', () => {
    expect(partName(f, { table: 'hoses', id: 'site-1-hose-2' })).toBe('Hose 2, Petrol, island Island 1');
    expect(partName(f, { table: 'pumps', id: 'site-1-pump-1' })).toBe('Pump Pump 1, submersible, from Tank 1');
    expect(partName(f, { table: 'tanks', id: 'gone' })).toBe('tank gone');
  });
  it('moves by arrows to the nearest part that way and stops at the edge', () => {
    const from = { table: 'hoses' as const, id: 'site-1-hose-1' };
    expect(at(neighbour(parts, from, 'ArrowRight'))).toBe('hoses site-1-hose-2');
    expect(at(neighbour(parts, from, 'ArrowDown'))).toBe('pumps site-1-pump-1');
    expect(at(neighbour(parts, { table: 'pumps', id: 'site-1-pump-1' }, 'ArrowDown'))).toBe('tanks site-1-tank-1');
    expect(neighbour(parts, { table: 'tanks', id: 'site-1-tank-1' }, 'ArrowDown')).toBeUndefined();
  });
  it('reads island by island, then pumps and tanks, and has every part once', () => {
    expect(readingOrder(parts).map((p) => p.table)).toEqual([
      'islands',
      'terminals',
      'hoses',
      'hoses',
      'pumps',
      'tanks',
    ]);
    expect(at(neighbour(parts, { table: 'tanks', id: 'x' }, 'Home'))).toBe('islands site-1-island-1');
    expect(at(neighbour(parts, { table: 'tanks', id: 'x' }, 'End'))).toBe('tanks site-1-tank-1');
  });
});
