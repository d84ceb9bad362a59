import { emptyFleet, type Fleet, newRow } from '@fillwright/core/fleet';
import { sectionsOfCredential } from '@fillwright/core/reach';
import { describe, expect, it } from 'vitest';
import type { Some } from './cut.ts';

type Named = { readonly driver: string | null; readonly vehicle: string | null };

/** A fleet with one card that names these; null has no card. */
function fleetWith(named: Named | null): Fleet {
  const fleet = emptyFleet({ name: 'Small', units: 'us', currency: 'USD' });
  const card = named && newRow('credentials', { id: 'c', number: '100', ...named });
  return { ...fleet, credentials: new Map(card ? [['c', card]] : []) };
}

/** 'Nobody' is of all, and of all but some. */
const among = (some: Some | null, id: string | null): boolean => {
  if (some === null) return true;
  if ('only' in some) return id !== null && some.only.has(id);
  return id === null || !some.but.has(id);
};

describe('the sections of whom a card names', () => {
  it('hold each pair that it names or named once, and no other, and none of them is empty', () => {
    const drivers = [null, 'd0', 'd1', 'd2'];
    const vehicles = [null, 'v0', 'v1', 'v2'];
    const pairs = drivers.flatMap((driver) => vehicles.map((vehicle): Named => ({ driver, vehicle }))).slice(1);
    const cards = [null, { driver: null, vehicle: null }, ...pairs];
    for (const was of cards)
      for (const is of cards) {
        const sections = sectionsOfCredential(fleetWith(was), fleetWith(is), 'c');
        const told = JSON.stringify([was, is]);
        const held = (p: Named) =>
          sections.filter((s) => among(s.drivers, p.driver) && among(s.vehicles, p.vehicle)).length;
        for (const p of pairs) {
          const meant = [was, is].some(
            (c) =>
              c &&
              (c.driver ?? c.vehicle) !== null &&
              (c.driver === null || c.driver === p.driver) &&
              (c.vehicle === null || c.vehicle === p.vehicle),
          );
          expect(held(p), `${told} ${JSON.stringify(p)}`).toBe(meant ? 1 : 0);
        }
        for (const s of sections) {
          const some = pairs.some((p) => among(s.drivers, p.driver) && among(s.vehicles, p.vehicle));
          expect(some, told).toBe(true);
          expect([s.hoses, s.product, s.span]).toEqual([null, null, null]);
        }
      }
  });
});
