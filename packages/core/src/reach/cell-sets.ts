/** Some cells: a list, until somebody asks for one of them. Most are only gone through, and a list takes a quarter of the room. */
export class CellSet {
  private readonly list: number[] = [];
  private set: Set<number> | null = null;

  /** One that is not among them. */
  put(cell: number): void {
    this.list.push(cell);
    this.set?.add(cell);
  }

  has(cell: number): boolean {
    if (this.list.length <= FEW) return this.list.includes(cell);
    this.set ??= new Set(this.list);
    return this.set.has(cell);
  }

  get cells(): readonly number[] {
    return this.list;
  }
}

const FEW = 8;

/** A set a part; none where there are no cells, as in most parts of most groups. */
export type CellSets = (CellSet | null)[];

/** One that is not among those of the part. */
export function putCell(sets: CellSets, part: number, cell: number): void {
  let set = sets[part];
  if (!set) {
    set = new CellSet();
    sets[part] = set;
  }
  set.put(cell);
}

/**
 * Tells of many ways, one after another, whether one of their cells is in the sets of its part: with a bit a part beside each cell, as looking
 * thousands of them up in sets is ten times as slow.
 */
export class CellMarks {
  private bits = new Uint32Array(1024);

  /** `cells` is how many cells there are. What `ask` is given must be asked before `ask` returns. */
  among(sets: CellSets, cells: number, ask: (isIn: (at: Int32Array) => boolean) => void): void {
    const lists = sets.flatMap((set, part) => (set ? [{ part, list: set.cells }] : []));
    const parts = lists.map(({ part }) => part);
    if (parts.length === 0) return;
    const words = Math.ceil(parts.length / 32);
    if (this.bits.length < cells * words) this.bits = new Uint32Array(2 * cells * words);
    const { bits } = this;
    for (const [n, { list }] of lists.entries()) {
      const [word, bit] = [n >>> 5, 1 << (n & 31)];
      for (const cell of list) bits[cell * words + word] = (bits[cell * words + word] as number) | bit;
    }
    ask((at) => {
      for (let n = 0; n < parts.length; n++) {
        const cell = at[parts[n] as number] as number;
        if ((((bits[cell * words + (n >>> 5)] as number) >>> (n & 31)) & 1) === 1) return true;
      }
      return false;
    });
    for (const { list } of lists)
      for (const cell of list) for (let word = 0; word < words; word++) bits[cell * words + word] = 0;
  }
}
