import { type PolicySite, type Terms, unanswerable } from '../../decide/index.ts';
import { identifies } from '../access.ts';
import type { Days } from '../days.ts';
import type { Steps } from '../steps.ts';
import type { Couple, HoseClass, PartyClass, Table, TermsList } from '../table.ts';
import { NONE, WHOLE } from './minutes.ts';
import type { Blocks, Region } from './region.ts';
import { EVERY, has, type Pick } from './sentence.ts';

/** Sites and a product that every rule about holders treats alike. */
export interface Cell {
  readonly index: number;
  /** Any one of the sites, and the product, as holders' lists know them. */
  readonly site: number;
  readonly product: number;
}

/** Some of a pool at a cell, where they let enough through: those with allowances of their own, and those without. */
export interface Pool {
  readonly party: Region;
  readonly silent: Region;
}

type Kind = 'drivers' | 'vehicles';

/** A cell, and what some list of allowances lets through there; null where it is silent. */
export interface Met {
  readonly cell: Cell;
  readonly steps: Steps | null;
}

/** Those of a list who are of one class, by their place in it. */
export interface Meant {
  readonly party: PartyClass | null;
  readonly places: readonly number[];
}

/** A class with one of its members. */
export interface One {
  readonly party: PartyClass;
  readonly id: string;
}

/** Classes that let the same through at a cell on the same days, but for the size of a vehicle's tank. */
interface Alike {
  readonly steps: Steps | null;
  readonly days: Days;
  readonly classes: (readonly PartyClass[])[];
}

/** What parties let through, by cell; whatever many expectations ask for is worked out once. */
export class Pools {
  readonly table: Table;
  readonly blocks: Blocks;
  readonly cells: readonly Cell[];
  private readonly cellAt = new Map<number, Cell>();
  private readonly placeKeys = new Map<HoseClass, string>();
  private readonly lists = new Map<TermsList, readonly Met[]>();
  private readonly chosen = {
    drivers: new WeakMap<Pick, readonly One[]>(),
    vehicles: new WeakMap<Pick, readonly One[]>(),
  };
  private readonly meant = new WeakMap<readonly string[], readonly Meant[]>();
  private readonly covered = new Map<Terms, readonly Cell[]>();
  private readonly every = new Map<string, Pool>();
  private readonly picked = new WeakMap<Pick, Map<string, (Pool | undefined)[]>>();
  private readonly nobody: Pool;
  private readonly alike: Readonly<Record<Kind, readonly (readonly Alike[])[]>>;

  constructor(table: Table, blocks: Blocks) {
    this.table = table;
    this.blocks = blocks;
    this.nobody = this.empty();
    const alike = sitesAlike(table);
    const cells = new Map<string, Cell>();
    for (const hose of table.hoses) {
      const key = `${alike[hose.site]} ${hose.product}`;
      const cell = cells.get(key) ?? { index: cells.size, site: hose.site, product: hose.product };
      cells.set(key, cell);
      this.cellAt.set(hose.site * 65_536 + hose.product, cell);
    }
    this.cells = [...cells.values()];
    this.alike = { drivers: this.alikeOf(table.drivers), vehicles: this.alikeOf(table.vehicles) };
  }

  cellOf(hose: HoseClass): Cell {
    return this.cellAt.get(hose.site * 65_536 + hose.product) as Cell;
  }

  /** Equal for hoses of one cell whose sites ask for the same holders, are closed on the same days and keep the same clock. */
  placeKey(hose: HoseClass, site: PolicySite): string {
    let key = this.placeKeys.get(hose);
    if (key === undefined) {
      key = `${this.cellOf(hose).index} ${site.row.identify} ${site.zone.zone} ${hose.closed.join()}`;
      this.placeKeys.set(hose, key);
    }
    return key;
  }

  /** The cells at which a list of allowances lets anything through, or says nothing, with what it lets through there. */
  cellsOf(list: TermsList): readonly Met[] {
    let met = this.lists.get(list);
    if (!met) {
      const covered = list.terms.length === 0 ? this.cells : new Set(list.terms.flatMap((t) => this.coveredBy(t)));
      met = [...covered].flatMap((cell) => {
        const steps = list.at(cell.site, cell.product);
        return (steps?.top ?? 1) > 0 ? [{ cell, steps }] : [];
      });
      this.lists.set(list, met);
    }
    return met;
  }

  private coveredBy(terms: Terms): readonly Cell[] {
    let cells = this.covered.get(terms);
    if (!cells) {
      const { products, sites } = terms;
      cells = this.cells.filter((c) => products[c.product] === 1 && (sites === null || sites[c.site] === 1));
      this.covered.set(terms, cells);
    }
    return cells;
  }

  /** Minutes at which a party lets this much through at a cell; `silent` where it holds no allowance. */
  lets(party: PartyClass, cell: Cell, least: number, known?: Steps | null): { minutes: number; silent: boolean } {
    if (!mayCome(party, cell) || !holdsSoMuch(party, least)) return { minutes: NONE, silent: false };
    const steps = known === undefined ? party.list.at(cell.site, cell.product) : known;
    if (steps === null) return { minutes: WHOLE, silent: true };
    return { minutes: this.blocks.minutes.where(steps, least), silent: false };
  }

  /** Those of a pick at a cell. Only who has credentials that name nobody else: couples are looked at one by one. */
  pool(kind: Kind, pick: Pick, cell: Cell, least: number): Pool {
    if (!pick.but) return this.ofPicked(kind, pick, least)[cell.index] ?? this.nobody;
    const key = `${kind} ${cell.index} ${least}`;
    const known = pick === EVERY ? this.every.get(key) : undefined;
    if (known) return known;
    const pool = this.ofOthers(kind, pick, cell, least);
    if (pick === EVERY) this.every.set(key, pool);
    return pool;
  }

  /** The classes of a pick, each with one member of it. */
  ones(kind: Kind, pick: Pick): Iterable<One> {
    // Whoever asks for all but some takes one of the first.
    if (pick.but) return this.others(kind, pick);
    let ones = this.chosen[kind].get(pick);
    if (!ones) {
      ones = this.choose(kind, pick);
      this.chosen[kind].set(pick, ones);
    }
    return ones;
  }

  private *others(kind: Kind, pick: Pick): Generator<One> {
    for (const party of kind === 'drivers' ? this.table.drivers : this.table.vehicles) {
      const member = party.members.find((m) => has(pick, m.id));
      if (member) yield { party, id: member.id };
    }
  }

  /** Those of a list by class, each by its place in the list; null is of no class. */
  classesOf(kind: Kind, ids: readonly string[]): readonly Meant[] {
    let meant = this.meant.get(ids);
    if (!meant) {
      const of = kind === 'drivers' ? this.table.driverOf : this.table.vehicleOf;
      const found = new Map<PartyClass | null, number[]>();
      for (const [place, id] of ids.entries()) {
        const party = of.get(id) ?? null;
        const places = found.get(party);
        if (places) places.push(place);
        else found.set(party, [place]);
      }
      meant = [...found].map(([party, places]) => ({ party, places }));
      this.meant.set(ids, meant);
    }
    return meant;
  }

  private choose(kind: Kind, pick: Pick): readonly One[] {
    const of = kind === 'drivers' ? this.table.driverOf : this.table.vehicleOf;
    const found = new Map<PartyClass, string>();
    for (const id of pick.ids) {
      const party = of.get(id);
      if (party && !found.has(party)) found.set(party, id);
    }
    return [...found].map(([party, id]) => ({ party, id }));
  }

  /** What a driver and a vehicle that a card names together may draw at a cell, at least so much. */
  couple({ driver, vehicle, days }: Couple, cell: Cell, least: number): Region | null {
    const [d, v] = [this.lets(driver, cell, least), this.lets(vehicle, cell, least)];
    if (d.silent && v.silent) return null;
    const minutes = this.blocks.minutes.and(d.minutes, v.minutes);
    if (minutes === NONE) return null;
    const region = this.blocks.none.slice();
    this.blocks.add(region, minutes, this.blocks.on(days));
    return region;
  }

  private empty(): Pool {
    return { party: this.blocks.none.slice(), silent: this.blocks.none.slice() };
  }

  private ofPicked(kind: Kind, pick: Pick, least: number): readonly (Pool | undefined)[] {
    let byLeast = this.picked.get(pick);
    if (!byLeast) {
      byLeast = new Map();
      this.picked.set(pick, byLeast);
    }
    const key = `${kind} ${least}`;
    let pools = byLeast.get(key);
    if (!pools) {
      pools = [];
      for (const { party } of this.ones(kind, pick)) {
        if (party.days.length === 0) continue;
        for (const { cell, steps } of this.cellsOf(party.list)) {
          const { minutes, silent } = this.lets(party, cell, least, steps);
          if (minutes === NONE) continue;
          const pool = pools[cell.index] ?? this.empty();
          pools[cell.index] = pool;
          this.blocks.add(silent ? pool.silent : pool.party, minutes, this.blocks.on(party.days));
        }
      }
      byLeast.set(key, pools);
    }
    return pools;
  }

  private ofOthers(kind: Kind, pick: Pick, cell: Cell, least: number): Pool {
    const pool = this.empty();
    const one = (party: PartyClass) =>
      holdsSoMuch(party, least) && (pick === EVERY || party.members.some((m) => has(pick, m.id)));
    for (const { steps, days, classes } of this.alike[kind][cell.index] ?? []) {
      const minutes = steps === null ? WHOLE : this.blocks.minutes.where(steps, least);
      if (minutes === NONE || !classes.some((list) => list.some(one))) continue;
      this.blocks.add(steps === null ? pool.silent : pool.party, minutes, this.blocks.on(days));
    }
    return pool;
  }

  /** By cell, who comes there at all. */
  private alikeOf(classes: readonly PartyClass[]): Alike[][] {
    const at: Map<number, Alike>[] = this.cells.map(() => new Map());
    for (const group of sameButTanks(classes)) {
      const party = group[0];
      if (!party || party.mute || party.days.length === 0) continue;
      for (const { cell, steps } of this.cellsOf(party.list)) {
        if (!mayCome(party, cell)) continue;
        const key = ((steps?.id ?? -1) + 1) * 4_194_304 + party.dayset;
        const known = at[cell.index] as Map<number, Alike>;
        const had = known.get(key);
        if (had) had.classes.push(group);
        else known.set(key, { steps, days: party.days, classes: [group] });
      }
    }
    return at.map((known) => [...known.values()]);
  }
}

/** Classes that differ in the size of the vehicle's tank at most. */
function sameButTanks(classes: readonly PartyClass[]): PartyClass[][] {
  const groups: PartyClass[][] = [];
  const known = new Map<TermsList, PartyClass[][]>();
  for (const party of classes) {
    const alike = known.get(party.list) ?? [];
    known.set(party.list, alike);
    const like = (g: PartyClass[]) =>
      g[0]?.dayset === party.dayset && g[0].sites === party.sites && g[0].mute === party.mute;
    const had = alike.find(like);
    if (had) had.push(party);
    else {
      const group = [party];
      alike.push(group);
      groups.push(group);
    }
  }
  return groups;
}

const mayCome = (party: PartyClass, cell: Cell): boolean =>
  !party.mute && (party.sites === null || party.sites[cell.site] === 1);
const holdsSoMuch = (party: PartyClass, least: number): boolean => party.capacity === null || party.capacity >= least;

/** For each site, by index, a number that is equal for sites that no holder's and no allowance's list of sites tells apart. */
function sitesAlike(table: Table): readonly number[] {
  const marks = new Set<Uint8Array>();
  for (const party of [...table.drivers, ...table.vehicles]) {
    if (party.sites) marks.add(party.sites);
    for (const terms of party.list.terms) if (terms.sites) marks.add(terms.sites);
  }
  const known = new Map<string, number>();
  const keys: string[] = Array.from({ length: table.policy.sites.size }, () => '');
  for (const list of marks) for (let s = 0; s < keys.length; s++) keys[s] += list[s] === 1 ? '1' : '0';
  return keys.map((key) => {
    const n = known.get(key) ?? known.size;
    known.set(key, n);
    return n;
  });
}

/** Hoses of a cell whose sites ask for the same holders, are closed on the same days and keep the same clock. */
export interface Place {
  readonly cell: Cell;
  readonly open: Region;
  readonly driver: boolean;
  readonly vehicle: boolean;
  readonly hoses: readonly HoseClass[];
}

/** Places that give at least so much, of these hose classes. */
export function placesOf(pools: Pools, classes: readonly HoseClass[], least: number): Place[] {
  const { table, blocks } = pools;
  const places = new Map<string, Place>();
  for (const hose of classes) {
    const site = table.policy.sites.get(hose.siteId);
    if (!site || hose.mostPerFill < least || site.questions.some(unanswerable)) continue;
    const cell = pools.cellOf(hose);
    const key = pools.placeKey(hose, site);
    const had = places.get(key);
    if (had) (had.hoses as HoseClass[]).push(hose);
    else {
      const closed = blocks.on(hose.closed);
      const open = closed.map((minutes) => (minutes === NONE ? WHOLE : NONE));
      const [driver, vehicle] = [identifies(site, true, false), identifies(site, false, true)];
      places.set(key, { cell, open, driver, vehicle, hoses: [hose] });
    }
  }
  return [...places.values()];
}
