import type { Names } from './change.ts';
import type { Joint, JointParties } from './joint.ts';

/** Joint classes, and single people beside them. Counted and listed as their classes stand when asked. */
export class People implements Names {
  private readonly parties: JointParties;
  private readonly joints: number[] = [];
  /** By number: whether it is among them. */
  private readonly among: Uint8Array;
  private readonly singles = new Set<string>();

  constructor(parties: JointParties) {
    this.parties = parties;
    this.among = new Uint8Array(parties.list.length);
  }

  classes(joints: readonly number[]): void {
    for (const n of joints) {
      if (this.among[n] === 1) continue;
      this.among[n] = 1;
      this.joints.push(n);
    }
  }

  /** Somebody of a couple, once all joint classes are in. */
  single(id: string): void {
    if (this.among[this.parties.numberOf(id) ?? -1] !== 1) this.singles.add(id);
  }

  get size(): number {
    let size = this.singles.size;
    for (const n of this.joints) size += (this.parties.list[n] as Joint).members.length;
    return size;
  }

  *[Symbol.iterator](): Iterator<string> {
    for (const n of this.joints) yield* (this.parties.list[n] as Joint).members;
    yield* this.singles;
  }

  static sum(parties: JointParties, ...lists: readonly People[]): People {
    const all = new People(parties);
    for (const list of lists) all.classes(list.joints);
    for (const list of lists) for (const id of list.singles) all.single(id);
    return all;
  }
}
