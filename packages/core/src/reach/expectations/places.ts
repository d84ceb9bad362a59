import { type PolicyHose, type PolicySite, unanswerable } from '../../decide/index.ts';
import { identifies } from '../access.ts';
import type { HoseClass, Table } from '../table.ts';
import type { Cell, Cells } from './cells.ts';
import { NONE, WHOLE } from './minutes.ts';
import type { Blocks, Region } from './region.ts';

/** Hoses of a cell whose sites ask for the same holders, are closed on the same days and keep the same clock. */
export interface Place {
  readonly cell: Cell;
  readonly open: Region;
  readonly driver: boolean;
  readonly vehicle: boolean;
  /** One of them, of the sentence. */
  readonly hose: HoseClass;
}

/** A place, and what tells it apart. */
interface Known {
  readonly key: string;
  readonly place: Omit<Place, 'hose'>;
}

/** Where the hoses of sentences stand. Sentences about the same hoses give the same list of them, and share what is worked out of it. */
export class Places {
  private readonly table: Table;
  private readonly blocks: Blocks;
  private readonly cells: Cells;
  private readonly classOf: ReadonlyMap<string, HoseClass>;
  private readonly known = new Map<HoseClass, Known | null>();
  private readonly made = new WeakMap<readonly PolicyHose[], Map<number, readonly Place[]>>();

  constructor(table: Table, blocks: Blocks, cells: Cells) {
    this.table = table;
    this.blocks = blocks;
    this.cells = cells;
    this.classOf = new Map(table.hoses.flatMap((c) => c.members.map((h) => [h.row.id, c] as const)));
  }

  /** Places that give at least so much, of these hoses. */
  of(hoses: readonly PolicyHose[], least: number): readonly Place[] {
    let byLeast = this.made.get(hoses);
    if (!byLeast) {
      byLeast = new Map();
      this.made.set(hoses, byLeast);
    }
    let places = byLeast.get(least);
    if (!places) {
      places = this.gather(new Set(hoses.flatMap((h) => this.classOf.get(h.row.id) ?? [])), least);
      byLeast.set(least, places);
    }
    return places;
  }

  private gather(classes: Iterable<HoseClass>, least: number): Place[] {
    const places = new Map<string, Place>();
    for (const hose of classes) {
      const at = hose.mostPerFill < least ? null : this.at(hose);
      if (!at) continue;
      if (!places.has(at.key)) places.set(at.key, { ...at.place, hose });
    }
    return [...places.values()];
  }

  /** Null where nobody is ever served. */
  private at(hose: HoseClass): Known | null {
    let known = this.known.get(hose);
    if (known === undefined) {
      const site = this.table.policy.sites.get(hose.siteId) as PolicySite;
      if (site.questions.some(unanswerable)) known = null;
      else {
        const cell = this.cells.at(hose.site, hose.product) as Cell;
        const open = this.blocks.on(hose.closed).map((minutes) => (minutes === NONE ? WHOLE : NONE));
        const [driver, vehicle] = [identifies(site, true, false), identifies(site, false, true)];
        known = {
          key: `${cell.index} ${site.row.identify} ${site.zone.zone} ${hose.closed.join()}`,
          place: { cell, open, driver, vehicle },
        };
      }
      this.known.set(hose, known);
    }
    return known;
  }
}
