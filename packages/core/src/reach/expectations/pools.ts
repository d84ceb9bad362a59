import type { Couple, PartyClass, Table } from '../table.ts';
import type { Cell } from './cells.ts';
import { type Holding, type Holdings, holdsSoMuch, mayCome } from './holdings.ts';
import { NONE, WHOLE } from './minutes.ts';
import type { Blocks, Region } from './region.ts';
import { EVERY, has, type Pick } from './sentence.ts';

/** Some of a pool at a cell, where they let enough through: those with allowances of their own, and those without. */
export interface Pool {
  readonly party: Region;
  readonly silent: Region;
}

type Kind = 'drivers' | 'vehicles';

/** Those of a list who are of one class, by their place in it. */
export interface Meant {
  readonly party: PartyClass | null;
  readonly holdings: readonly Holding[];
  readonly places: readonly number[];
}

/** A class with one of its members. */
export interface One {
  readonly party: PartyClass;
  readonly id: string;
}

/** A holding with the classes that have it. */
interface Held {
  readonly holding: Holding;
  readonly classes: PartyClass[];
}

/** What parties let through, by cell; whatever many expectations ask for is worked out once. */
export class Pools {
  readonly table: Table;
  readonly blocks: Blocks;
  readonly holdings: Holdings;
  private readonly chosen = {
    drivers: new WeakMap<Pick, readonly One[]>(),
    vehicles: new WeakMap<Pick, readonly One[]>(),
  };
  private readonly meant = new WeakMap<readonly string[], readonly Meant[]>();
  private readonly picked = new WeakMap<Pick, Map<string, (Pool | undefined)[]>>();
  private readonly nobody: Pool;
  private readonly held: Readonly<Record<Kind, readonly (readonly Held[])[]>>;

  constructor(table: Table, blocks: Blocks, cells: readonly Cell[], holdings: Holdings) {
    this.table = table;
    this.blocks = blocks;
    this.holdings = holdings;
    this.nobody = this.empty();
    const held = (classes: readonly PartyClass[]) => heldAt(cells, holdings, classes);
    this.held = { drivers: held(table.drivers), vehicles: held(table.vehicles) };
  }

  /** Minutes at which a party lets this much through at a cell; `silent` where it holds no allowance. */
  lets(party: PartyClass, cell: Cell, least: number): { minutes: number; silent: boolean } {
    if (!mayCome(party, cell) || !holdsSoMuch(party, least)) return { minutes: NONE, silent: false };
    const steps = party.list.at(cell.site, cell.product);
    if (steps === null) return { minutes: WHOLE, silent: true };
    return { minutes: this.blocks.minutes.where(steps, least), silent: false };
  }

  /** Those of a pick at a cell. Only who has credentials that name nobody else: couples are looked at one by one. */
  pool(kind: Kind, pick: Pick, cell: Cell, least: number): Pool {
    let byLeast = this.picked.get(pick);
    if (!byLeast) {
      byLeast = new Map();
      this.picked.set(pick, byLeast);
    }
    const key = `${kind} ${least}`;
    let pools = byLeast.get(key);
    if (!pools) {
      pools = pick.but ? [] : this.ofPicked(kind, pick, least);
      byLeast.set(key, pools);
    }
    if (pick.but) pools[cell.index] ??= this.ofOthers(kind, pick, cell, least);
    return pools[cell.index] ?? this.nobody;
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
      meant = [...found].map(([party, places]) => ({ party, holdings: party ? this.holdings.of(party) : [], places }));
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

  private ofPicked(kind: Kind, pick: Pick, least: number): (Pool | undefined)[] {
    const pools: (Pool | undefined)[] = [];
    const met = new Set<Holding>();
    for (const { party } of this.ones(kind, pick))
      if (holdsSoMuch(party, least)) for (const holding of this.holdings.of(party)) met.add(holding);
    for (const holding of met) {
      const minutes = this.holdings.minutes(holding, least);
      if (minutes === NONE) continue;
      for (const { index } of holding.cells) {
        const pool = pools[index] ?? this.empty();
        pools[index] = pool;
        this.blocks.add(holding.terms === null ? pool.silent : pool.party, minutes, holding.days);
      }
    }
    return pools;
  }

  private ofOthers(kind: Kind, pick: Pick, cell: Cell, least: number): Pool {
    const pool = this.empty();
    const one = (party: PartyClass) =>
      holdsSoMuch(party, least) && (pick === EVERY || party.members.some((m) => has(pick, m.id)));
    for (const { holding, classes } of this.held[kind][cell.index] ?? []) {
      const minutes = this.holdings.minutes(holding, least);
      if (minutes === NONE || !classes.some(one)) continue;
      this.blocks.add(holding.terms === null ? pool.silent : pool.party, minutes, holding.days);
    }
    return pool;
  }
}

/** By cell, what those who come there hold. */
function heldAt(cells: readonly Cell[], holdings: Holdings, classes: readonly PartyClass[]): Held[][] {
  const known = new Map<Holding, Held>();
  for (const party of classes) {
    for (const holding of holdings.of(party)) {
      const had = known.get(holding);
      if (had) had.classes.push(party);
      else known.set(holding, { holding, classes: [party] });
    }
  }
  const at: Held[][] = cells.map(() => []);
  for (const held of known.values()) for (const { index } of held.holding.cells) at[index]?.push(held);
  return at;
}
