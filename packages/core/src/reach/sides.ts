import { LEAST_USEFUL, type PolicySite, unanswerable } from '../decide/index.ts';
import { identifies } from './access.ts';
import { type DayBook, type Days, NO_DAYS } from './days.ts';
import type { Steps } from './steps.ts';
import type { HoseClass, PartyClass, Table } from './table.ts';

/** What one party brings to one hose in one table. */
export interface Side {
  readonly id: number;
  /** Somebody stands there (in this table). */
  readonly present: boolean;
  /** Nothing that the party holds or lacks keeps it from this hose altogether. */
  readonly may: boolean;
  /** It holds allowances (SPEC D16), so that its steps decide. */
  readonly party: boolean;
  /** What it lets through; null is no limit of its own. */
  readonly steps: Steps | null;
  /** By number in the book of days. */
  readonly days: number;
}

/** Sides by number, each different one once, so that two are equal exactly when their numbers are. Days are numbered likewise. */
export class Sides {
  readonly days: DayBook;
  readonly nobody: Side;
  readonly absent: Side;
  private readonly known: Side[][] = [];
  private count = 2;

  constructor(days: DayBook) {
    this.days = days;
    const never = days.keep(NO_DAYS);
    this.nobody = { id: 0, present: false, may: true, party: false, steps: null, days: never };
    this.absent = { id: 1, present: true, may: false, party: false, steps: null, days: never };
  }

  /**
   * The party's side at a hose; a party that this table does not have is present and may nothing. Rooms are cut at what the hose gives, as
   * everything there is, so that parties that differ only above it meet it alike.
   */
  of(table: Table, party: PartyClass | null, hose: HoseClass | null): Side {
    if (party === null || hose === null || party.mute) return this.absent;
    if (party.sites !== null && party.sites[hose.site] !== 1) return this.absent;
    const own = party.list.at(hose.site, hose.product);
    let steps = own;
    if (steps !== null) {
      if (!opens(steps)) return this.absent;
      // SPEC D21: the party is looked at first, then the hose, then the vehicle's tank.
      steps = table.book.least(steps, hose.most);
    }
    if (party.capacity !== null && party.capacity < hose.mostPerFill) {
      const tank = table.book.level(party.capacity, table.tank);
      steps = steps === null ? tank : table.book.least(steps, tank);
    }
    const days = party.dayset;
    const slot = ((steps?.id ?? -1) + 1) * 2 + (own === null ? 0 : 1);
    let byDays = this.known[slot];
    if (!byDays) {
      byDays = [];
      this.known[slot] = byDays;
    }
    let side = byDays[days];
    if (!side) {
      side = { id: this.count++, present: true, may: true, party: own !== null, steps, days };
      byDays[days] = side;
    }
    return side;
  }
}

const opens = (steps: Steps): boolean => steps.top >= LEAST_USEFUL;

/** What the hose itself says in one table. */
export interface Place {
  readonly open: boolean;
  readonly most: Steps | null;
  readonly closed: Days;
  identifies(driver: boolean, vehicle: boolean): boolean;
  /** Everything above in a word, for telling whether two places are alike. */
  readonly key: string;
}

export function placeOf(table: Table, hose: HoseClass | null): Place {
  if (hose === null) return { open: false, most: null, closed: NO_DAYS, identifies: () => false, key: 'none' };
  const site = table.policy.sites.get(hose.siteId) as PolicySite;
  const open = !site.questions.some(unanswerable);
  const key = `${open} ${hose.most.id} ${site.row.identify} ${hose.closed.join()}`;
  return {
    key,
    open,
    most: hose.most,
    closed: hose.closed,
    identifies: (driver, vehicle) => identifies(site, driver, vehicle),
  };
}
