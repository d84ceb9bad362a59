import type { Parts } from './parts.ts';
import type { Ways } from './ways.ts';

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
  /** Joint classes by the way in which they meet the spot; grows only, as those whom nobody is of any more stay. */
  ways: ReadonlyMap<number, readonly number[]>;
  /** Those that were noted since, each after its way. */
  readonly entered: number[] = [];

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
        const [sum, cell] = [sums[part] as Map<number, number>, cells[part] as number];
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
      for (const [part, cells] of change[kind].entries()) {
        for (const [n, cell] of cells.ids.entries())
          if ((this[kind][part] as Cells).add(cell, cells.counts[n] as number) <= few) left(part, cell);
      }
    }
  }

  /** Notes the ways in which joint classes come. Copies share what was noted until one of them notes more. */
  enter(joints: ReadonlyMap<number, number>): void {
    let ways: Map<number, readonly number[]> | null = null;
    for (const [joint, way] of joints) {
      const list = (ways ?? this.ways).get(way) ?? [];
      if (list.includes(joint)) continue;
      ways ??= new Map(this.ways);
      ways.set(way, [...list, joint]);
      this.entered.push(way, joint);
    }
    if (ways) this.ways = ways;
  }

  copy(): Crowd {
    const copy = new Crowd(0, this.ways);
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
