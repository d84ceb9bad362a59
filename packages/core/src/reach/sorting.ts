import { type Holder, type Policy, unanswerable } from '../decide/index.ts';
import { Patched, type Question } from '../fleet/index.ts';
import { type Days, intersect, union } from './days.ts';
import type { PartyClass } from './party-class.ts';
import type { Book } from './steps.ts';
import { type TermsList, termsLists } from './terms-list.ts';

type Span = readonly [number, number];
/** A card that names two. */
export interface Together {
  readonly driver: Holder;
  readonly vehicle: Holder;
  readonly number: string;
  readonly days: Span;
}

export interface Cards {
  readonly alone: ReadonlyMap<Holder, readonly Span[]>;
  readonly together: readonly Together[];
}

const LONG_AGO = -1_000_000;
const FAR_AHEAD = 10_000_000;

/** Tells holders apart by what rules see of them. Classes keep their index from one table to those revised from it. */
export class Sorting {
  readonly book: Book;
  readonly horizon: Days;
  readonly drivers: Sorter;
  readonly vehicles: Sorter;

  constructor(book: Book, horizon: Days) {
    this.book = book;
    this.horizon = horizon;
    const listOf = termsLists(book);
    this.drivers = new Sorter(book, horizon, listOf);
    this.vehicles = new Sorter(book, horizon, listOf);
  }

  /** The days of the good cards of each holder (of those `among`) that name nobody else, and the cards that name two. */
  cards(policy: Policy, among: ReadonlySet<Holder> | null = null): Cards {
    const alone = new Map<Holder, Span[]>();
    const together: Together[] = [];
    policy.cards.forEach((card, number) => {
      if (card === null || card.stopped) return;
      const { driver, vehicle } = card;
      // A card with a name that the roster does not have presents nobody.
      const one = driver === null ? vehicle : vehicle === null ? driver : null;
      if (one && among && !among.has(one)) return;
      if (policy.stopped.has(number)) return;
      const days = [card.from, card.until] as const;
      if (driver && vehicle) together.push({ driver, vehicle, number, days });
      else if (one) {
        const spans = alone.get(one);
        if (spans) spans.push(days);
        else alone.set(one, [days]);
      }
    });
    return { alone, together };
  }
}

export interface Sorted {
  readonly classes: readonly PartyClass[];
  readonly of: ReadonlyMap<string, PartyClass>;
}

/** The classes of the drivers, or of the vehicles. */
class Sorter {
  private readonly book: Book;
  private readonly horizon: Days;
  private readonly listOf: (terms: Holder['terms']) => TermsList;
  private readonly lists = numbering<Holder['terms']>();
  private readonly marks = numbering<Holder['sites']>();
  private readonly mutes = new Map<readonly Question[], boolean>();
  private readonly known = new Map<string, PartyClass>();
  private readonly spans = new Map<number, Map<number, number>>();

  constructor(book: Book, horizon: Days, listOf: (terms: Holder['terms']) => TermsList) {
    this.book = book;
    this.horizon = horizon;
    this.listOf = listOf;
  }

  sort(holders: Iterable<Holder>, alone: ReadonlyMap<Holder, readonly Span[]>, always: ReadonlySet<Holder>): Sorted {
    const filled = new Map<PartyClass, PartyClass & { members: Holder[] }>();
    const of = new Map<string, PartyClass>();
    for (const holder of holders) {
      const spans = alone.get(holder);
      if (!holder.active || (!spans && !always.has(holder))) continue;
      const shape = this.classOf(holder, spans ?? []);
      let found = filled.get(shape);
      if (!found) {
        found = { ...shape, members: [] };
        filled.set(shape, found);
      }
      found.members.push(holder);
      of.set(holder.id, found);
    }
    return { classes: [...filled.values()], of };
  }

  /** The same for holders of whom only some changed, came or went since. */
  resort(
    was: Sorted,
    holders: ReadonlyMap<string, Holder>,
    touched: ReadonlySet<string>,
    alone: ReadonlyMap<Holder, readonly Span[]>,
    always: ReadonlySet<Holder>,
  ): Sorted {
    if (touched.size === 0) return was;
    const edits = new Map<string, PartyClass | undefined>();
    const changed = new Map<number, { shape: PartyClass; members: Holder[] }>();
    const change = (shape: PartyClass) => {
      let found = changed.get(shape.index);
      if (!found) {
        found = { shape, members: [] };
        changed.set(shape.index, found);
      }
      return found;
    };
    const come: { readonly members: Holder[]; readonly holder: Holder }[] = [];
    for (const id of touched) {
      edits.set(id, undefined);
      const old = was.of.get(id);
      if (old) change(old);
      const holder = holders.get(id);
      const spans = holder && alone.get(holder);
      if (!holder?.active || (!spans && !always.has(holder))) continue;
      come.push({ members: change(this.classOf(holder, spans ?? [])).members, holder });
    }
    // Those who stay in a class that somebody left or comes to, before those who come.
    for (const { index, members } of was.classes)
      for (const h of changed.has(index) ? members : []) if (!touched.has(h.id)) changed.get(index)?.members.push(h);
    for (const { members, holder } of come) members.push(holder);
    const filled = new Map<number, PartyClass>();
    for (const [index, { shape, members }] of changed) {
      if (members.length === 0) continue;
      const party = { ...shape, members };
      filled.set(index, party);
      for (const holder of members) edits.set(holder.id, party);
    }
    const classes: PartyClass[] = [];
    for (const c of was.classes) {
      const party = changed.has(c.index) ? filled.get(c.index) : c;
      filled.delete(c.index);
      if (party) classes.push(party);
    }
    return { classes: [...classes, ...filled.values()], of: Patched.of(was.of, edits) };
  }

  private classOf(holder: Holder, cards: readonly Span[]): PartyClass {
    const dayset = this.daysOf(holder, cards);
    const mute = this.isMute(holder.questions);
    const key = `${this.lists(holder.terms)} ${this.marks(holder.sites)} ${dayset} ${holder.capacity ?? ''} ${mute}`;
    let found = this.known.get(key);
    if (!found) {
      found = {
        index: this.known.size,
        key,
        members: [],
        list: this.listOf(holder.terms),
        sites: holder.sites,
        days: this.book.days.of(dayset),
        dayset,
        capacity: holder.capacity,
        mute,
      };
      this.known.set(key, found);
    }
    return found;
  }

  /** Days on which the holder and one of the cards are good, by number in the book. */
  private daysOf(holder: Holder, cards: readonly Span[]): number {
    const [from, until] = [Math.max(holder.from, LONG_AGO), Math.min(holder.until, FAR_AHEAD)];
    const only = cards.length === 1 ? cards[0] : undefined;
    if (!only) {
      const good = union(cards.map(([a, b]) => [Math.max(a, LONG_AGO), Math.min(b, FAR_AHEAD)] as const));
      return this.book.days.keep(intersect(this.horizon, intersect(union([[from, until]]), good)));
    }
    // Most hold one card, and most dates are alike.
    const [first, last] = [Math.max(from, only[0]), Math.min(until, only[1])];
    let byLast = this.spans.get(first);
    if (!byLast) {
      byLast = new Map();
      this.spans.set(first, byLast);
    }
    let days = byLast.get(last);
    if (days === undefined) {
      days = this.book.days.keep(intersect(this.horizon, union([[first, last]])));
      byLast.set(last, days);
    }
    return days;
  }

  private isMute(questions: readonly Question[]): boolean {
    let mute = this.mutes.get(questions);
    if (mute === undefined) {
      mute = questions.some(unanswerable);
      this.mutes.set(questions, mute);
    }
    return mute;
  }
}

function numbering<T>(): (thing: T) => number {
  const known = new Map<T, number>();
  return (thing) => {
    let n = known.get(thing);
    if (n === undefined) {
      n = known.size;
      known.set(thing, n);
    }
    return n;
  };
}
