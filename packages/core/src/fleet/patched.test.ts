import { describe, expect, it } from 'vitest';
import { seeded } from '../../test/small-world.ts';
import { changedKeys, Patched, sendable } from './patched.ts';

describe('a patched map', () => {
  it('is what a copied map would be, and tells what was changed', () => {
    let patched = 0;
    for (let seed = 1; seed <= 20; seed++) {
      const random = seeded(seed);
      const below = (n: number) => Math.floor(random() * n);
      const start = new Map(Array.from({ length: below(200) }, (_, i) => [`k${i}`, { n: i }] as const));
      const was: { map: ReadonlyMap<string, { n: number } | null>; plain: Map<string, { n: number } | null> }[] = [
        { map: start, plain: new Map(start) },
      ];
      for (let edit = 0; edit < 30; edit++) {
        const last = was.at(-1) as (typeof was)[number];
        const plain = new Map(last.plain);
        const edits = new Map<string, { n: number } | null | undefined>();
        for (let n = below(4); n > 0; n--) {
          const key = `k${below(220)}`;
          const value = random() < 0.3 ? undefined : random() < 0.2 ? null : { n: below(9) };
          edits.set(key, value);
        }
        for (const [key, value] of edits) {
          if (value === undefined) plain.delete(key);
          else plain.set(key, value);
        }
        const map = Patched.of(last.map, edits);
        if (map instanceof Patched) patched++;
        was.push({ map, plain });
        const sorted = (entries: Iterable<readonly [string, unknown]>) =>
          [...entries].sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0));
        expect(sorted(map)).toEqual(sorted(plain));
        expect(map.size).toBe(plain.size);
        const visited: [string, unknown][] = [];
        map.forEach((value, key) => {
          visited.push([key, value]);
        });
        expect(visited).toEqual([...map.entries()]);
        expect([...map.keys()]).toEqual(visited.map(([key]) => key));
        expect([...map.values()]).toEqual(visited.map(([, value]) => value));
        const looked = (of: ReadonlyMap<string, unknown>) =>
          Array.from({ length: 220 }, (_, i) => [of.has(`k${i}`), of.get(`k${i}`)]);
        expect(looked(map)).toEqual(looked(plain));
        const other = was[below(was.length)] as (typeof was)[number];
        const differ = [...new Set([...other.plain.keys(), ...plain.keys()])].filter(
          (key) => other.plain.get(key) !== plain.get(key),
        );
        for (const [a, b] of [
          [other.map, map],
          [other.plain, plain],
          [other.plain, map],
          [other.map, plain],
        ] as const)
          expect(changedKeys(a, b).sort()).toEqual([...differ].sort());
      }
    }
    expect(patched).toBeGreaterThan(200);
  });

  it('is refused by another thread, and goes there as a whole map', () => {
    const map = Patched.of(new Map([['a', { n: 1 }]]), new Map([['b', { n: 2 }]]));
    const question = { kind: 'q', two: { before: { settings: { name: 'F' }, drivers: map }, list: [1] } };
    expect(() => structuredClone(question)).toThrow();
    const arrived = structuredClone(sendable(question));
    expect(arrived).toEqual({
      ...question,
      two: { ...question.two, before: { settings: { name: 'F' }, drivers: new Map(map) } },
    });
  });
});
