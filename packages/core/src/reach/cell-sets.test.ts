import { describe, expect, it } from 'vitest';
import { seeded } from '../../test/small-world.ts';
import { CellMarks, CellSet, type CellSets, putCell } from './cell-sets.ts';

describe('cells in sets, one a part', () => {
  it('has those that were put, few or many, before and after it was asked', () => {
    const [set, plain] = [new CellSet(), new Set<number>()];
    for (let n = 0; n < 40; n++) {
      const cell = (n * 37) % 101;
      expect(set.has(cell)).toBe(false);
      set.put(cell);
      plain.add(cell);
      for (let other = 0; other < 101; other++) expect(set.has(other)).toBe(plain.has(other));
      expect(set.cells).toEqual([...plain]);
    }
  });

  it('tells of ways whether one of their cells is in the set of its part, however often and of however many parts', () => {
    let [yes, no] = [0, 0];
    for (let seed = 1; seed <= 12; seed++) {
      const random = seeded(seed);
      const below = (n: number) => Math.floor(random() * n);
      const marks = new CellMarks();
      for (let round = 0; round < 12; round++) {
        const [parts, cells] = [1 + below(80), 1 + below(3000)];
        const sets: CellSets = new Array<null>(parts).fill(null);
        const plain = Array.from({ length: parts }, () => new Set<number>());
        // Now and then there is none at all.
        for (let n = round % 4 === 0 ? 0 : below(60); n > 0; n--) {
          const [part, cell] = [below(parts), below(cells)];
          if (plain[part]?.has(cell)) continue;
          plain[part]?.add(cell);
          putCell(sets, part, cell);
        }
        const filled = plain.flatMap((set, part) => [...set].map((cell) => [part, cell] as const));
        let asked = false;
        marks.among(sets, cells, (isIn) => {
          asked = true;
          for (let way = 0; way < 200; way++) {
            const at = Int32Array.from({ length: parts }, () => below(cells));
            // Of every second one a cell of some part is in the set of one: of its own, or of another.
            const [part, cell] = filled[below(filled.length)] ?? [0, 0];
            if (way % 2) at[way % 4 === 1 ? part : below(parts)] = cell;
            const want = plain.some((set, n) => set.has(at[n] as number));
            expect(isIn(at), `seed ${seed} round ${round} way ${way}`).toBe(want);
            want ? yes++ : no++;
          }
        });
        expect(asked).toBe(filled.length > 0);
      }
    }
    expect([yes > 1000, no > 1000]).toEqual([true, true]);
  });
});
