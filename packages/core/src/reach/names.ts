import type { Names } from './change.ts';
import type { Joint, JointParties } from './joint.ts';

const NO_CLASSES = new Int32Array(0);

/** Joint classes, and single people beside them. Counted and listed as their classes stand when asked. */
export class People implements Names {
  private readonly parties: JointParties;
  private readonly joints: number[] = [];
  /** By number: how often it was put among them. */
  private among = NO_CLASSES;
  private readonly singles = new Set<string>();
  /** Of the classes among them: those who are not, and how often that was said. */
  private readonly excepted = new Map<string, number>();

  constructor(parties: JointParties) {
    this.parties = parties;
  }

  classes(joints: readonly number[]): void {
    if (joints.length > 0 && this.among === NO_CLASSES) this.among = new Int32Array(this.parties.list.length);
    const { among, joints: all } = this;
    for (let i = 0; i < joints.length; i++) {
      const n = joints[i] as number;
      const times = among[n] as number;
      if (times === 0) all.push(n);
      among[n] = times + 1;
    }
  }

  /** Those of the classes just put in who are not meant with them. */
  except(ids: ReadonlySet<string>, joints: readonly number[]): void {
    if (ids.size === 0) return;
    const put = new Set(joints);
    for (const id of ids)
      if (put.has(this.parties.numberOf(id) as number)) this.excepted.set(id, (this.excepted.get(id) ?? 0) + 1);
  }

  /** Once all joint classes are in: whoever was meant but once is among them. */
  settle(): void {
    for (const [id, times] of this.excepted)
      if (this.among[this.parties.numberOf(id) as number] !== times) this.excepted.delete(id);
  }

  /** Somebody of a couple, once all joint classes are in. */
  single(id: string): void {
    if (this.excepted.delete(id)) return;
    if (!this.among[this.parties.numberOf(id) as number]) this.singles.add(id);
  }

  get size(): number {
    let size = this.singles.size - this.excepted.size;
    for (const n of this.joints) size += (this.parties.list[n] as Joint).members.length;
    return size;
  }

  *[Symbol.iterator](): Iterator<string> {
    for (const n of this.joints)
      for (const id of (this.parties.list[n] as Joint).members) if (!this.excepted.has(id)) yield id;
    yield* this.singles;
  }

  private get none(): boolean {
    return this.joints.length === 0 && this.singles.size === 0;
  }

  /** Those of either, once both are settled. */
  static sum(one: People, other: People): People {
    if (one.none) return other;
    if (other.none) return one;
    const lists = [one, other];
    const all = new People(one.parties);
    for (const list of lists) {
      all.classes(list.joints);
      for (const id of list.excepted.keys()) all.excepted.set(id, (all.excepted.get(id) ?? 0) + 1);
    }
    all.settle();
    for (const list of lists) for (const id of list.singles) all.single(id);
    return all;
  }
}
