import { compile, type Policy, revise } from '@fillwright/core/decide';
import type { ZoneTable } from '@fillwright/core/units';
import { expect, it } from 'vitest';
import { changedFleet } from '../../test/brute-access.ts';
import { seeded, smallWorld } from '../../test/small-world.ts';
import { WhenAsked } from './when-asked.ts';

const UTC: ZoneTable = { zone: 'UTC', at: [Number.NEGATIVE_INFINITY], offsetMin: [0] };
const zones = () => UTC;

it('is what a map of all values would be, whoever is asked for first, and makes each once', () => {
  const random = seeded(5);
  for (let round = 0; round < 200; round++) {
    const keys = Array.from({ length: Math.floor(random() * 9) }, (_, i) => `k${i}`);
    const made: string[] = [];
    const map = new WhenAsked(new Map(keys.map((key) => [key, key])), (key) => {
      made.push(key);
      return key === 'k3' ? null : { key };
    });
    const plain = new Map(keys.map((key) => [key, key === 'k3' ? null : { key }] as const));
    const looks: (() => void)[] = [
      () => expect([...map]).toEqual([...plain]),
      () => expect([...map.keys()]).toEqual([...plain.keys()]),
      () => expect([...map.values()]).toEqual([...plain.values()]),
      () => {
        const visited: [string, unknown][] = [];
        map.forEach((value, key) => {
          visited.push([key, value]);
        });
        expect(visited).toEqual([...plain]);
      },
    ];
    for (let n = 0; n < 12; n++) {
      const key = `k${Math.floor(random() * 11)}`;
      const look = random() < 0.1 ? looks[Math.floor(random() * looks.length)] : undefined;
      look?.();
      expect(map.get(key)).toEqual(plain.get(key));
      expect(map.get(key)).toBe(map.get(key));
      expect(map.has(key)).toBe(plain.has(key));
      expect(map.size).toBe(plain.size);
    }
    for (const look of looks) look();
    expect([...made].sort()).toEqual(keys);
  }
});

it('gives the policy of an edited fleet, whoever was asked for before the edit', () => {
  const sorted = (map: ReadonlyMap<string, unknown>) => [...map].sort(([a], [b]) => (a < b ? -1 : 1));
  const told = ({ cards, drivers, vehicles }: Policy) => [cards, drivers, vehicles].map(sorted);
  let revised = 0;
  for (let seed = 1; seed <= 60; seed++) {
    const random = seeded(seed);
    let { fleet } = smallWorld(seed);
    const other = smallWorld(seed + 1).fleet;
    let policy = compile(fleet, zones);
    for (let edit = 0; edit < 6; edit++) {
      for (const map of [policy.cards, policy.drivers, policy.vehicles])
        for (const key of map.keys()) if (random() < 0.3) map.get(key);
      const tables = random() < 0.5 ? (['allowances'] as const) : (['drivers', 'vehicles', 'credentials'] as const);
      const next = changedFleet(fleet, other, random);
      fleet = { ...fleet, ...Object.fromEntries(tables.map((table) => [table, next[table]])) };
      const grown = revise(policy, fleet, zones);
      if (grown) revised++;
      policy = grown ?? compile(fleet, zones);
      // Not told but at the end: telling makes everybody.
      if (random() < 0.3 || edit === 5) {
        expect(told(policy), `seed ${seed}`).toEqual(told(compile(fleet, zones)));
        policy = compile(fleet, zones);
      }
    }
  }
  expect(revised).toBeGreaterThan(100);
});
