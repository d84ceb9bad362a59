import type { Terms } from '../decide/index.ts';
import { changedKeys } from '../fleet/index.ts';
import type { HoseClass, PartyClass, Table } from './table.ts';

/** People that neither of two tables can tell apart. */
export interface Joint {
  readonly before: PartyClass | null;
  readonly after: PartyClass | null;
  /** Ids of the fleet's records. */
  members: string[];
}

/** So many people of one joint class are now of another; -1 is none. */
export interface Move {
  readonly from: number;
  readonly to: number;
  readonly people: number;
}

type Which = 'before' | 'after';
type ClassOf = ReadonlyMap<string, PartyClass>;

/** The drivers, or the vehicles, of two tables, by joint class; the classes keep their number while the later table is revised. */
export class JointParties {
  readonly list: Joint[] = [];
  private readonly of = new Map<string, number>();
  private readonly before: ClassOf;
  private after: ClassOf;
  private readonly numbers = new Map<number, number>();
  private readonly holders = { before: new Map<Terms, number[]>(), after: new Map<Terms, number[]>() };
  private readonly silent: number[] = [];

  constructor(before: ClassOf, after: ClassOf) {
    this.before = before;
    this.after = after;
    for (const [id, b] of before) this.put(id, b, after.get(id) ?? null);
    for (const [id, a] of after) if (!before.has(id)) this.put(id, null, a);
  }

  get people(): number {
    return this.of.size;
  }

  numberOf(id: string): number | undefined {
    return this.of.get(id);
  }

  /** Allowances that somebody holds. */
  holding(which: Which): Iterable<Terms> {
    return this.holders[which].keys();
  }

  /** Lists of sites to which somebody is held. */
  marks(which: Which): Set<Uint8Array> {
    return new Set(this.list.flatMap((j) => j[which]?.sites ?? []));
  }

  /** Joint classes that may come to a hose: those with an allowance that covers it, and those who hold none. */
  coming(covers: (terms: Terms, which: Which) => boolean): number[] {
    const seen = new Set(this.silent);
    for (const which of ['before', 'after'] as const) {
      for (const [terms, numbers] of this.holders[which])
        if (covers(terms, which)) for (const n of numbers) seen.add(n);
    }
    return [...seen];
  }

  /** Takes in the later table's classes after an edit. */
  revised(after: ClassOf): { moves: Move[]; fresh: Joint[] } {
    const known = this.list.length;
    const moved = new Map<string, PartyClass | null>();
    for (const id of changedKeys(this.after, after)) {
      const a = after.get(id) ?? null;
      if (this.after.get(id)?.index !== a?.index) moved.set(id, a);
    }
    this.after = after;
    const moves = new Map<string, Move & { people: number }>();
    const leaving = new Set<number>();
    for (const [id, a] of moved) {
      const from = this.of.get(id) ?? -1;
      if (from !== -1) leaving.add(from);
      const before = this.before.get(id) ?? null;
      this.of.delete(id);
      const to = before === null && a === null ? -1 : this.put(id, before, a);
      const key = `${from} ${to}`;
      const move = moves.get(key);
      if (move) move.people++;
      else moves.set(key, { from, to, people: 1 });
    }
    for (const n of leaving) {
      const joint = this.list[n] as Joint;
      joint.members = joint.members.filter((id) => this.of.get(id) === n);
    }
    return { moves: [...moves.values()], fresh: this.list.slice(known) };
  }

  private put(id: string, before: PartyClass | null, after: PartyClass | null): number {
    const key = ((before?.index ?? -1) + 1) * 67_108_864 + ((after?.index ?? -1) + 1);
    let n = this.numbers.get(key);
    if (n === undefined) {
      n = this.list.push({ before, after, members: [] }) - 1;
      this.numbers.set(key, n);
      this.enter(n, before, 'before');
      this.enter(n, after, 'after');
      if (before?.list.terms.length === 0 || after?.list.terms.length === 0) this.silent.push(n);
    }
    this.list[n]?.members.push(id);
    this.of.set(id, n);
    return n;
  }

  private enter(n: number, party: PartyClass | null, which: Which): void {
    for (const terms of party?.list.terms ?? []) {
      const list = this.holders[which].get(terms);
      if (list) list.push(n);
      else this.holders[which].set(terms, [n]);
    }
  }
}

export function hosesById(table: Table): Map<string, HoseClass> {
  const map = new Map<string, HoseClass>();
  for (const hose of table.hoses) for (const member of hose.members) map.set(member.row.id, hose);
  return map;
}
