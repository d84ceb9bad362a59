import type { Ways } from './ways.ts';

/** What a cell brings to a pair: the reason before, the reason after, that somebody comes who did not or the reverse. */
export const [BEFORE, AFTER, COMES, ALL] = [1, 2, 4, 7];

/** Cells of one side at one part of the week, those that changed first. */
export interface Listed {
  readonly cells: readonly number[];
  readonly counts: readonly number[];
  /** What each brings. */
  readonly has: readonly number[];
  readonly roomBefore: readonly number[];
  readonly roomAfter: readonly number[];
  /** How many of them changed. */
  readonly moved: number;
}

/** Whether one of two brings a reason that cannot decide, as the other leaves less room. */
export function outdone(xs: Listed, i: number, ys: Listed, j: number): boolean {
  const x = xs.has[i] as number;
  const y = ys.has[j] as number;
  const differ = x ^ y;
  if ((differ & BEFORE) !== 0) {
    const rx = xs.roomBefore[i] as number;
    const ry = ys.roomBefore[j] as number;
    if ((x & BEFORE) !== 0 ? rx > ry : ry > rx) return true;
  }
  if ((differ & AFTER) !== 0) {
    const rx = xs.roomAfter[i] as number;
    const ry = ys.roomAfter[j] as number;
    if ((x & AFTER) !== 0 ? rx > ry : ry > rx) return true;
  }
  return false;
}

/** By what one of the other side brings: those who bring the rest, in their order. */
export function bringing({ cells, has }: Listed): readonly (readonly number[])[] {
  const need: number[][] = Array.from({ length: ALL + 1 }, () => []);
  for (let bits = 0; bits <= ALL; bits++) {
    const list = need[bits] as number[];
    for (let n = 0; n < cells.length; n++) if (((has[n] as number) | bits) === ALL) list.push(n);
  }
  return need;
}

/**
 * What is heard of pairs of which one leaves less room, before and after: that decides, and of the other it counts only how they stand there.
 * So it is asked once for all who stand there alike. For pairs without cards that name two.
 */
export class HeardAlike {
  private readonly stand: readonly number[];
  private readonly xs: Listed;
  private readonly ys: Listed;
  private readonly byX = new Map<number, boolean>();
  private readonly byY = new Map<number, boolean>();

  constructor(ways: Pick<Ways, 'stand'>, xs: Listed, ys: Listed) {
    this.stand = ways.stand;
    this.xs = xs;
    this.ys = ys;
  }

  hears(i: number, j: number, ask: () => boolean): boolean {
    const { xs, ys } = this;
    const before = (xs.roomBefore[i] as number) - (ys.roomBefore[j] as number);
    const after = (xs.roomAfter[i] as number) - (ys.roomAfter[j] as number);
    if (before < 0 && after < 0) return asked(this.byX, i * STANDS + this.standOf(ys, j), ask);
    if (before > 0 && after > 0) return asked(this.byY, j * STANDS + this.standOf(xs, i), ask);
    return ask();
  }

  private standOf({ cells }: Listed, n: number): number {
    return this.stand[cells[n] as number] as number;
  }
}

/** More than there are ways to stand there. */
const STANDS = 67_108_864;

function asked(known: Map<number, boolean>, key: number, ask: () => boolean): boolean {
  let heard = known.get(key);
  if (heard === undefined) {
    heard = ask();
    known.set(key, heard);
  }
  return heard;
}
