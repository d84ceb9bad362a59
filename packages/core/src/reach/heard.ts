import type { Couples } from './couples.ts';
import type { Crowd } from './crowd.ts';
import type { Parts } from './parts.ts';
import type { Ways } from './ways.ts';

/** What one group of changes comes to at one spot: whom it touches there, and between which quantities. */
export interface Heard {
  readonly drivers: HeardSide;
  readonly vehicles: HeardSide;
  /** Pairs that a card names together, with a part in it on the days of that card. */
  readonly couples: Couples;
  /** Those who come in cells that have a part in it, but there meet nobody else than those with whom a card names them. */
  readonly except: { readonly drivers: ReadonlySet<string>; readonly vehicles: ReadonlySet<string> };
  /** Least and most microlitres. */
  readonly before: [number, number];
  readonly after: [number, number];
}

/** A pair of cells that has a part in it, one of which may be nobody's. */
export function hear(
  { drivers, vehicles, before, after }: Heard,
  part: number,
  x: number,
  y: number,
  was: number,
  is: number,
  nobody: number,
): void {
  if (y === nobody) drivers.add('alone', part, x);
  else if (x === nobody) vehicles.add('alone', part, y);
  else {
    drivers.add('together', part, x);
    vehicles.add('together', part, y);
  }
  if (was < before[0]) before[0] = was;
  if (was > before[1]) before[1] = was;
  if (is < after[0]) after[0] = is;
  if (is > after[1]) after[1] = is;
}

/** Cells by part of the week: of those who come alone, and of those who come with somebody. */
export interface HeardCells {
  readonly alone: readonly Set<number>[];
  readonly together: readonly Set<number>[];
}

export interface Joints {
  readonly alone: number[];
  readonly together: number[];
}

/** The cells of one side that a group touches, and the joint classes that come in them: those change when people move, the cells do not. */
export class HeardSide {
  readonly cells: HeardCells;
  private found: Joints | null = null;
  /** How many of those that the crowd noted are among them. */
  private upTo = 0;

  constructor(cells: HeardCells) {
    this.cells = cells;
  }

  has(part: number, cell: number): boolean {
    const { alone, together } = this.cells;
    return (alone[part] as Set<number>).has(cell) || (together[part] as Set<number>).has(cell);
  }

  add(how: keyof HeardCells, part: number, cell: number): void {
    const cells = this.cells[how][part] as Set<number>;
    if (cells.has(cell)) return;
    cells.add(cell);
    this.found = null;
  }

  /** Of the crowd in whose cells it was heard: in one pass over the ways in which they come, then over what it noted since. */
  joints(crowd: Crowd, ways: Ways, parts: Parts): Joints {
    const { cells } = this;
    const { entered } = crowd;
    if (this.found && this.upTo === entered.length) return this.found;
    const [ones, twos] = [partsWith(cells.alone), partsWith(cells.together)];
    const { alone, together } = this.found ?? { alone: [], together: [] };
    const put = (way: number, joints: readonly number[]) => {
      const at = ways.cellsOf(way, parts);
      if (isIn(cells.alone, ones, at)) for (const n of joints) alone.push(n);
      if (isIn(cells.together, twos, at)) for (const n of joints) together.push(n);
    };
    if (ones.length + twos.length > 0) {
      if (this.found)
        for (let i = this.upTo; i < entered.length; i += 2) put(entered[i] as number, [entered[i + 1] as number]);
      else for (const [way, joints] of crowd.ways) put(way, joints);
    }
    this.upTo = entered.length;
    this.found = { alone, together };
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
