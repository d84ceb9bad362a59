import type { Parts } from './parts.ts';
import type { Ways } from './ways.ts';

/** More than there are joint classes. */
const JOINTS = 67_108_864;

/** Cells of one part of the week with the number of people in each. */
export class Cells {
  readonly ids: number[] = [];
  readonly counts: number[] = [];

  /** How many are in the cell then. */
  add(cell: number, n: number): number {
    const at = this.ids.indexOf(cell);
    if (at === -1) {
      this.ids.push(cell);
      this.counts.push(n);
      return n;
    }
    const count = (this.counts[at] as number) + n;
    if (count !== 0) {
      this.counts[at] = count;
      return count;
    }
    const [lastId, lastCount] = [this.ids.pop() as number, this.counts.pop() as number];
    if (at < this.ids.length) {
      this.ids[at] = lastId;
      this.counts[at] = lastCount;
    }
    return 0;
  }

  copy(): Cells {
    const copy = new Cells();
    copy.ids.push(...this.ids);
    copy.counts.push(...this.counts);
    return copy;
  }
}

/** The drivers, or the vehicles, that come to a spot (not 'nobody', who comes with each): by part of the week, those whose cell changes apart from those whose does not. */
export class Crowd {
  moved: Cells[];
  still: Cells[];
  /** Joint classes by the way in which they met the spot when it came to be, shared by copies; those whom nobody is of any more stay. */
  readonly ways: ReadonlyMap<number, readonly number[]>;
  /** Those that came since, each after its way. */
  readonly entered: number[] = [];
  private readonly seen = new Set<number>();

  constructor(parts: number, ways: ReadonlyMap<number, readonly number[]> = new Map()) {
    this.moved = Array.from({ length: parts }, () => new Cells());
    this.still = Array.from({ length: parts }, () => new Cells());
    this.ways = ways;
  }

  /** Many at once; `ways` says how many people come in each way. */
  static of(
    ways: Ways,
    parts: Parts,
    counts: ReadonlyMap<number, number>,
    joints: ReadonlyMap<number, number[]>,
  ): Crowd {
    const crowd = new Crowd(parts.count, joints);
    const sums = Array.from({ length: parts.count }, () => new Map<number, number>());
    for (const [way, count] of counts) {
      const cells = ways.cellsOf(way, parts);
      for (let part = 0; part < parts.count; part++) {
        const sum = sums[part] as Map<number, number>;
        const cell = cells[part] as number;
        sum.set(cell, (sum.get(cell) ?? 0) + count);
      }
    }
    for (const [part, sum] of sums.entries()) {
      for (const [cell, count] of sum) {
        if (count === 0) continue;
        const cells = (ways.isMoved(cell) ? crowd.moved : crowd.still)[part] as Cells;
        cells.ids.push(cell);
        cells.counts.push(count);
      }
    }
    return crowd;
  }

  /** Puts in another crowd on the same parts, and says of which cells so `few` are left, or nobody. */
  add(change: Crowd, few: number, left: (part: number, cell: number) => void): void {
    for (const kind of ['moved', 'still'] as const) {
      for (let part = 0; part < change[kind].length; part++) {
        const { ids, counts } = change[kind][part] as Cells;
        const mine = this[kind][part] as Cells;
        for (let n = 0; n < ids.length; n++) {
          const cell = ids[n] as number;
          if (mine.add(cell, counts[n] as number) <= few) left(part, cell);
        }
      }
    }
  }

  /** Notes the ways in which joint classes come. */
  enter(joints: ReadonlyMap<number, number>): void {
    for (const [joint, way] of joints) {
      const key = way * JOINTS + joint;
      if (this.seen.has(key) || this.ways.get(way)?.includes(joint)) continue;
      this.seen.add(key);
      this.entered.push(way, joint);
    }
  }

  /** All ways in which somebody may come, each with joint classes that do; a way may be said more than once. */
  each(say: (way: number, joints: readonly number[]) => void): void {
    this.ways.forEach((joints, way) => {
      say(way, joints);
    });
    for (let n = 0; n < this.entered.length; n += 2) say(this.entered[n] as number, [this.entered[n + 1] as number]);
  }

  copy(): Crowd {
    const copy = new Crowd(0, this.ways);
    copy.entered.push(...this.entered);
    for (const key of this.seen) copy.seen.add(key);
    copy.moved = this.moved.map((c) => c.copy());
    copy.still = this.still.map((c) => c.copy());
    return copy;
  }

  /** The same people on a finer division of the week: `from` gives the old part of each new one. */
  refine(from: readonly number[]): void {
    const [moved, still] = [this.moved, this.still];
    this.moved = from.map((old) => (moved[old] as Cells).copy());
    this.still = from.map((old) => (still[old] as Cells).copy());
  }
}
