import { CellMarks, type CellSets } from './cell-sets.ts';
import { NO_DAYS } from './days.ts';
import type { Parts } from './parts.ts';
import type { Side } from './sides.ts';
import { type Book, stretchAt } from './steps.ts';

/** Flags of a half: somebody stands there; nothing keeps them away; they hold allowances, so that their room decides. */
export const PRESENT = 1;
export const MAY = 2;
export const PARTY = 4;

/**
 * How a party meets a hose before and after: a _way_ over the whole week; a _cell_ in one part of the week, made of two _halves_, one a
 * table. All by number, each different one once, so that two are alike exactly when their numbers are.
 */
export class Ways {
  /** Of halves, by number. Room is Infinity where the party sets no limit; ranks are the order of SPEC D21 among equal rooms. */
  readonly flags: number[] = [];
  readonly room: number[] = [];
  readonly why: number[] = [];
  readonly rank: number[] = [];
  readonly days: number[] = [];
  /** Of cells, by number: their halves. */
  readonly before: number[] = [];
  readonly after: number[] = [];
  /** Alike for cells that differ in rooms and reasons alone: who stands there, what they may, and on which days. */
  readonly stand: number[] = [];
  private readonly sides: (readonly [Side, Side])[] = [];
  private readonly wayAt = new Map<number, number>();
  private readonly halfAt = new Map<string, number>();
  private readonly cellAt: Map<number, number>[] = [];
  private readonly standAt = new Map<string, number>();
  // Weakly: parts that were made for one look go with it.
  private readonly halvesMade = new WeakMap<Parts, Int32Array[]>();
  private readonly cellsMade = new WeakMap<Parts, Int32Array[]>();
  /** Whoever asks mostly asks about one week. */
  private lastParts: Parts | null = null;
  private lastCells: Int32Array[] = [];
  private readonly marks = new CellMarks();
  private readonly never: number;
  private readonly late: readonly [number, number];

  constructor(book: Book) {
    this.never = book.days.keep(NO_DAYS);
    this.late = [book.reason('hose-most', null), book.reason('vehicle-tank', null)];
  }

  of(before: Side, after: Side): number {
    const key = before.id * 67_108_864 + after.id;
    let way = this.wayAt.get(key);
    if (way === undefined) {
      way = this.sides.push([before, after]) - 1;
      this.wayAt.set(key, way);
    }
    return way;
  }

  /** Whoever comes so has no day, in neither table. */
  isNever(way: number): boolean {
    const sides = this.sides[way] as readonly [Side, Side];
    return sides[0].days === this.never && sides[1].days === this.never;
  }

  /** The cells of a way, one a part. */
  cellsOf(way: number, parts: Parts): Int32Array {
    if (parts !== this.lastParts) this.lastCells = this.madeFor(parts);
    let cells = this.lastCells[way];
    if (!cells) {
      const [before, after] = this.sides[way] as readonly [Side, Side];
      const b = this.halvesOf(before, parts);
      const a = this.halvesOf(after, parts);
      cells = b.map((half, n) => this.cell(half, a[n] as number));
      this.lastCells[way] = cells;
    }
    return cells;
  }

  /** Tells of ways whether one of their cells is in the set of its part; only until `ask` returns. */
  among(sets: CellSets, parts: Parts, ask: (isIn: (way: number) => boolean) => void): void {
    this.marks.among(sets, this.before.length, (isIn) => ask((way) => isIn(this.cellsOf(way, parts))));
  }

  private madeFor(parts: Parts): Int32Array[] {
    let made = this.cellsMade.get(parts);
    if (!made) {
      made = [];
      this.cellsMade.set(parts, made);
    }
    this.lastParts = parts;
    return made;
  }

  isMoved(cell: number): boolean {
    return this.before[cell] !== this.after[cell];
  }

  private halvesOf(side: Side, parts: Parts): Int32Array {
    let made = this.halvesMade.get(parts);
    if (!made) {
      made = [];
      this.halvesMade.set(parts, made);
    }
    let halves = made[side.id];
    if (!halves) {
      const { steps } = side;
      const flags = (side.present ? PRESENT : 0) + (side.may ? MAY : 0) + (side.party ? PARTY : 0);
      halves = new Int32Array(parts.count);
      for (const [n, minute] of parts.minute.entries()) {
        const at = steps === null ? 0 : stretchAt(steps, minute);
        const room = steps === null ? Number.POSITIVE_INFINITY : (steps.room[at] as number);
        halves[n] = this.half(flags, room, steps === null ? -1 : (steps.why[at] as number), side.days);
      }
      made[side.id] = halves;
    }
    return halves;
  }

  private half(flags: number, room: number, why: number, days: number): number {
    const key = `${flags} ${room} ${why} ${days}`;
    let half = this.halfAt.get(key);
    if (half === undefined) {
      half = this.flags.push(flags) - 1;
      this.room.push(room);
      this.why.push(why);
      this.rank.push(this.late.indexOf(why) + 1);
      this.days.push(days);
      this.halfAt.set(key, half);
    }
    return half;
  }

  private cell(before: number, after: number): number {
    let byAfter = this.cellAt[before];
    if (!byAfter) {
      byAfter = new Map();
      this.cellAt[before] = byAfter;
    }
    let cell = byAfter.get(after);
    if (cell === undefined) {
      cell = this.before.push(before) - 1;
      this.after.push(after);
      const { flags, days, standAt } = this;
      const key = `${flags[before]} ${flags[after]} ${days[before]} ${days[after]}`;
      const stand = standAt.get(key) ?? standAt.size;
      standAt.set(key, stand);
      this.stand.push(stand);
      byAfter.set(after, cell);
    }
    return cell;
  }
}
