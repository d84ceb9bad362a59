import type { Joint } from './joint.ts';
import type { Side, Sides } from './sides.ts';
import type { HoseClass, PartyClass, Table } from './table.ts';

/** Parties that meet one hose alike, before and after. */
export interface Signature {
  readonly before: Side;
  readonly after: Side;
  readonly changed: boolean;
  readonly ids: string[];
}

/**
 * Which parties come to which hoses at all: looked up by (site, product), so that a hose of one region does not look at the people of
 * another. One for the drivers and one for the vehicles of two tables.
 */
export class Comers {
  private readonly tables: readonly [Table, Table];
  private readonly sides: Sides;
  private readonly joints: readonly Joint<PartyClass>[];
  private readonly at: readonly [Map<number, number[]>, Map<number, number[]>];
  private readonly everywhere: readonly number[];
  private readonly seen: Uint32Array;
  private round = 0;

  constructor(tables: readonly [Table, Table], sides: Sides, joints: readonly Joint<PartyClass>[]) {
    this.tables = tables;
    this.sides = sides;
    this.joints = joints;
    this.at = [cellsOf(joints, 'before'), cellsOf(joints, 'after')];
    const silent = (p: PartyClass | null) => p !== null && p.list.terms.length === 0;
    this.everywhere = joints.flatMap((j, n) => (silent(j.before) || silent(j.after) ? [n] : []));
    this.seen = new Uint32Array(joints.length);
  }

  /** Everybody who may come to this hose before or after, by the sides they bring; `key` is equal for hoses that they meet alike. */
  meet(hose: Joint<HoseClass>): { signatures: Signature[]; key: Int32Array; changed: boolean } {
    const here = this.numbersAt(hose);
    const found = new Map<number, Signature>();
    const moved = new Map<number, Signature>();
    const key = new Int32Array(here.length * 3);
    let filled = 0;
    let changed = false;
    for (const n of here) {
      const joint = this.joints[n] as Joint<PartyClass>;
      const before = this.sides.of(this.tables[0], joint.before, hose.before);
      const after = this.sides.of(this.tables[1], joint.after, hose.after);
      if (!before.may && !after.may) continue;
      key[filled++] = n;
      key[filled++] = before.id;
      key[filled++] = after.id;
      // Most people meet a hose as before; small whole keys look up several times faster than large ones.
      const same = before === after;
      const pair = same ? before.id : before.id * 67_108_864 + after.id;
      const known = (same ? found : moved).get(pair);
      if (known) for (const id of joint.members) known.ids.push(id);
      else {
        (same ? found : moved).set(pair, { before, after, changed: !same, ids: [...joint.members] });
        changed ||= !same;
      }
    }
    return { signatures: [...found.values(), ...moved.values()], key: key.subarray(0, filled), changed };
  }

  private numbersAt(hose: Joint<HoseClass>): number[] {
    this.round++;
    const list: number[] = [];
    const add = (n: number) => {
      if (this.seen[n] === this.round) return;
      this.seen[n] = this.round;
      list.push(n);
    };
    for (const n of this.everywhere) add(n);
    if (hose.before) for (const n of this.at[0].get(cell(hose.before.site, hose.before.product)) ?? []) add(n);
    if (hose.after) for (const n of this.at[1].get(cell(hose.after.site, hose.after.product)) ?? []) add(n);
    return list.sort((a, b) => a - b);
  }
}

const cell = (site: number, product: number) => site * 65_536 + product;

function cellsOf(joints: readonly Joint<PartyClass>[], which: 'before' | 'after'): Map<number, number[]> {
  const cells = new Map<number, number[]>();
  for (const [n, joint] of joints.entries()) {
    const party = joint[which];
    if (party === null || party.mute) continue;
    for (const c of party.list.cells()) {
      if (party.sites !== null && party.sites[c >> 16] !== 1) continue;
      const list = cells.get(c);
      if (list) list.push(n);
      else cells.set(c, [n]);
    }
  }
  return cells;
}
