import type { Crowd } from './crowd.ts';
import type { Parts } from './parts.ts';
import type { Ways } from './ways.ts';

/** What one group of changes comes to at one spot: whom it touches there, and between which quantities. */
export interface Heard {
  readonly drivers: HeardSide;
  readonly vehicles: HeardSide;
  /** Pairs that a card names together, with a part in it on the days of that card. */
  readonly couples: readonly (readonly [driver: string, vehicle: string])[];
  /** The most pairs that have a part in it in one part of the week. */
  readonly pairs: number;
  /** Least and most microlitres. */
  readonly before: readonly [number, number];
  readonly after: readonly [number, number];
}

/** Cells by part of the week: of those who come alone, and of those who come with somebody. */
export interface HeardCells {
  readonly alone: readonly Set<number>[];
  readonly together: readonly Set<number>[];
}

export interface Joints {
  readonly alone: readonly number[];
  readonly together: readonly number[];
}

/** The cells of one side that a group touches, and the joint classes that come in them: those change when people move, the cells do not. */
export class HeardSide {
  readonly cells: HeardCells;
  private found: Joints = { alone: [], together: [] };
  /** The ways for which they were found; a crowd that hears of another joint class has new ones. */
  private foundFor: Crowd['ways'] | null = null;

  constructor(cells: HeardCells) {
    this.cells = cells;
  }

  /** In one pass over the ways in which they come. */
  joints(crowd: Crowd, ways: Ways, parts: Parts): Joints {
    if (this.foundFor === crowd.ways) return this.found;
    const { cells } = this;
    const [ones, twos] = [partsWith(cells.alone), partsWith(cells.together)];
    const [alone, together]: [number[], number[]] = [[], []];
    if (ones.length + twos.length > 0) {
      for (const [way, joints] of crowd.ways) {
        const at = ways.cellsOf(way, parts);
        if (isIn(cells.alone, ones, at)) for (const n of joints) alone.push(n);
        if (isIn(cells.together, twos, at)) for (const n of joints) together.push(n);
      }
    }
    this.found = { alone, together };
    this.foundFor = crowd.ways;
    return this.found;
  }
}

export const emptyCells = (parts: number): HeardCells => ({
  alone: Array.from({ length: parts }, () => new Set<number>()),
  together: Array.from({ length: parts }, () => new Set<number>()),
});

const partsWith = (sets: readonly Set<number>[]): number[] =>
  [...sets.keys()].filter((part) => (sets[part] as Set<number>).size > 0);

function isIn(sets: readonly Set<number>[], parts: readonly number[], cells: Int32Array): boolean {
  for (const part of parts) if ((sets[part] as Set<number>).has(cells[part] as number)) return true;
  return false;
}
