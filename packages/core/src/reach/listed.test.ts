import { describe, expect, it } from 'vitest';
import { seeded } from '../../test/small-world.ts';
import { AFTER, ALL, BEFORE, bringing, COMES, HeardAlike, type Listed, outdone } from './listed.ts';

/** Cells by number, with what each brings and the room that it leaves before and after. */
function listed(...cells: readonly (readonly [has: number, before: number, after: number])[]): Listed {
  return {
    cells: cells.map((_, n) => n),
    counts: cells.map(() => 1),
    has: cells.map(([has]) => has),
    roomBefore: cells.map(([, before]) => before),
    roomAfter: cells.map(([, , after]) => after),
    moved: cells.length,
  };
}

describe('of two who come together', () => {
  it('one brings a reason in vain where the other leaves less room', () => {
    for (const [one, other, vain] of [
      [[BEFORE, 30, 50], [AFTER, 40, 40], false],
      [[BEFORE, 50, 50], [AFTER, 40, 40], true],
      [[BEFORE, 40, 50], [AFTER, 40, 40], false],
      [[BEFORE, 30, 30], [AFTER, 40, 40], true],
      [[BEFORE, 30, 40], [AFTER, 40, 40], false],
      // Both bring it: one of them decides.
      [[BEFORE, 50, 50], [BEFORE | AFTER, 40, 40], false],
      [[AFTER, 50, 50], [BEFORE | AFTER, 40, 40], false],
      [[AFTER, 50, 50], [BEFORE | AFTER, 60, 40], true],
      // Who comes is not a matter of room.
      [[COMES, 50, 50], [0, 40, 40], false],
    ] as const) {
      const [xs, ys] = [listed(one), listed(other)];
      expect([outdone(xs, 0, ys, 0), outdone(ys, 0, xs, 0)], JSON.stringify([one, other])).toEqual([vain, vain]);
    }
  });

  it('the other must bring the rest', () => {
    const need = bringing(listed(...[0, BEFORE, AFTER, BEFORE | AFTER, COMES, ALL].map((has) => [has, 1, 1] as const)));
    expect(need[0]).toEqual([5]);
    expect(need[BEFORE]).toEqual([5]);
    expect(need[AFTER]).toEqual([5]);
    expect(need[COMES]).toEqual([3, 5]);
    expect(need[BEFORE | AFTER]).toEqual([4, 5]);
    expect(need[BEFORE | COMES]).toEqual([2, 3, 5]);
    expect(need[AFTER | COMES]).toEqual([1, 3, 5]);
    expect(need[ALL]).toEqual([0, 1, 2, 3, 4, 5]);
  });
});

describe('asked once for all who stand there alike', () => {
  it('is what one of two decides before and after, and nothing else', () => {
    for (let seed = 1; seed <= 20; seed++) {
      const random = seeded(seed);
      const below = (n: number) => Math.floor(random() * n);
      const rooms = [20, 30, 40, Number.POSITIVE_INFINITY];
      const room = () => rooms[below(rooms.length)] as number;
      const side = () => listed(...Array.from({ length: 12 }, () => [ALL, room(), room()] as const));
      const [xs, ys] = [side(), side()];
      const stand = xs.cells.map(() => below(3));
      const alike = new HeardAlike({ stand }, xs, ys);
      // What is heard, by all that it may be about: at random.
      const truth = new Map<string, boolean>();
      const about = (i: number, j: number) => {
        const lower = (of: 'roomBefore' | 'roomAfter') => Math.sign((xs[of][i] as number) - (ys[of][j] as number));
        const [before, after] = [lower('roomBefore'), lower('roomAfter')];
        if (before === -1 && after === -1) return `driver ${i} with ${stand[j]}`;
        if (before === 1 && after === 1) return `vehicle ${j} with ${stand[i]}`;
        return `${i} and ${j}`;
      };
      const asked: string[] = [];
      for (const i of xs.cells)
        for (const j of ys.cells) {
          const word = about(i, j);
          const heard = truth.get(word) ?? random() < 0.5;
          truth.set(word, heard);
          const ask = () => {
            asked.push(word);
            return heard;
          };
          expect(alike.hears(i, j, ask), `seed ${seed} ${word}`).toBe(heard);
        }
      expect(asked.sort()).toEqual([...truth.keys()].sort());
    }
  });
});
