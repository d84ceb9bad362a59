import { Group } from './group.ts';
import type { Looked } from './look.ts';
import type { ChangeKind, GroupKey, Tally } from './tally.ts';

/** The groups of a difference that is kept, largest first: after an edit only those that it touched are made anew, and put in their place. */
export class Groups {
  private readonly looked: Looked;
  private readonly tally: Tally;
  /** Points as they were when last listed, by number. */
  private readonly counted: bigint[] = [];
  private readonly stale = new Set<number>();
  private sorted: readonly Group[] = [];
  private points: Readonly<Record<ChangeKind, bigint>> = { gained: 0n, lost: 0n, raised: 0n, lowered: 0n };

  constructor(looked: Looked, tally: Tally) {
    this.looked = looked;
    this.tally = tally;
  }

  /** Its points may have changed. */
  touch(slot: number): void {
    this.stale.add(slot);
  }

  list(): { readonly groups: readonly Group[]; readonly points: Readonly<Record<ChangeKind, bigint>> } {
    const { stale, tally } = this;
    if (stale.size > 0) {
      const points = { ...this.points };
      const groups = this.sorted.filter((g) => !stale.has(g.slot));
      for (const slot of stale) {
        const key = tally.keys[slot] as GroupKey;
        const n = tally.points(slot);
        points[key.kind] += n - (this.counted[slot] ?? 0n);
        this.counted[slot] = n;
        if (n === 0n) continue;
        groups.push(new Group(this.looked, slot, key, n));
      }
      stale.clear();
      this.sorted = groups.sort(largestFirst);
      this.points = points;
    }
    return { groups: this.sorted, points: this.points };
  }
}

/** Points beyond 2^53 may be rounded to one rank. */
export const largestFirst = (a: Sized, b: Sized): number => b.rank - a.rank || Number(b.points - a.points);
type Sized = Pick<Group, 'rank' | 'points'>;
