import { expect, it } from 'vitest';
import { seeded } from '../../test/small-world.ts';
import { OnlyCoupled } from './only-coupled.ts';

it('who meets nobody but those with whom a card names them is found, whatever cells are heard together', () => {
  let [alone, met] = [0, 0];
  for (let seed = 1; seed <= 60; seed++) {
    const random = seeded(seed);
    const people = (letter: string) =>
      Array.from({ length: 3 }, (_, cell) =>
        Array.from({ length: 1 + Math.floor(random() * 3) }, (_, n) => `${letter}${cell}${n}`),
      );
    const [drivers, vehicles] = [people('d'), people('v')];
    const named = drivers
      .flat()
      .flatMap((d) => vehicles.flat().flatMap((v) => (random() < 0.5 ? [[d, v] as const] : [])));
    const heard = drivers.flatMap((_, i) => vehicles.flatMap((_, j) => (random() < 0.4 ? [[i, j] as const] : [])));

    const only = new OnlyCoupled(drivers.length, vehicles.length);
    for (const [i, j] of heard) {
      const [ds, vs] = [drivers[i] ?? [], vehicles[j] ?? []];
      only.meet(
        i,
        j,
        ds.length,
        vs.length,
        named.filter(([d, v]) => ds.includes(d) && vs.includes(v)),
      );
    }

    /** Those with a card that names somebody whom they meet, and who meet no others. */
    const found = (cells: readonly string[][], side: 0 | 1) =>
      cells.flatMap((ids, cell) =>
        ids.filter((id) => {
          const meets = heard
            .filter((pair) => pair[side] === cell)
            .flatMap((pair) => (side === 0 ? vehicles : drivers)[pair[1 - side] as number] ?? []);
          const own = new Set(named.filter((pair) => pair[side] === id).map((pair) => pair[1 - side]));
          if (meets.length === 0) return false;
          if (meets.every((other) => own.has(other))) alone++;
          else met++;
          return meets.every((other) => own.has(other));
        }),
      );
    const got = only.people();
    expect([...got.drivers].sort()).toEqual(found(drivers, 0).sort());
    expect([...got.vehicles].sort()).toEqual(found(vehicles, 1).sort());
  }
  expect([alone > 50, met > 50]).toEqual([true, true]);
});
