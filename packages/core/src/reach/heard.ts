import { type CellSets, putCell } from './cell-sets.ts';
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
export function hear(heard: Heard, part: number, x: number, y: number, was: number, is: number, nobody: number): void {
  const { drivers, vehicles } = heard;
  widen(heard.before, was);
  widen(heard.after, is);
  if (y === nobody) drivers.add('alone', part, x);
  else if (x === nobody) vehicles.add('alone', part, y);
  else {
    drivers.add('together', part, x);
    vehicles.add('together', part, y);
  }
}

/** Takes in a quantity that lies outside what was there. */
export function widen(range: [number, number], quantity: number): void {
  if (quantity < range[0]) range[0] = quantity;
  if (quantity > range[1]) range[1] = quantity;
}

/** Cells by part of the week: of those who come alone, and of those who come with somebody. */
export interface HeardCells {
  readonly alone: CellSets;
  readonly together: CellSets;
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
    return (alone[part]?.has(cell) ?? false) || (together[part]?.has(cell) ?? false);
  }

  add(how: keyof HeardCells, part: number, cell: number): void {
    const sets = this.cells[how];
    if (sets[part]?.has(cell)) return;
    putCell(sets, part, cell);
    this.found = null;
  }

  /** Of the crowd in whose cells it was heard: in one pass over the ways in which they come, then over what it noted since. */
  joints(crowd: Crowd, ways: Ways, parts: Parts): Joints {
    const { cells } = this;
    const { entered } = crowd;
    if (this.found && this.upTo === entered.length) return this.found;
    const anew = this.found === null;
    const found = this.found ?? { alone: [], together: [] };
    for (const how of ['alone', 'together'] as const) {
      const list = found[how];
      ways.among(cells[how], parts, (isIn) => {
        if (anew)
          crowd.ways.forEach((joints, way) => {
            if (isIn(way)) for (let i = 0; i < joints.length; i++) list.push(joints[i] as number);
          });
        for (let i = anew ? 0 : this.upTo; i < entered.length; i += 2)
          if (isIn(entered[i] as number)) list.push(entered[i + 1] as number);
      });
    }
    this.upTo = entered.length;
    this.found = found;
    return found;
  }
}

export const emptyCells = (parts: number): HeardCells => ({
  alone: new Array<null>(parts).fill(null),
  together: new Array<null>(parts).fill(null),
});
