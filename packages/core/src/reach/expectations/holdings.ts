import type { Terms } from '../../decide/index.ts';
import type { PartyClass } from '../table.ts';
import { roomOf } from '../terms-list.ts';
import type { Cell } from './cells.ts';
import { NONE, WHOLE } from './minutes.ts';
import type { Blocks, Region } from './region.ts';

/**
 * What one allowance does for those who come to the same sites on the same days. Whoever holds several may draw so much where and when any
 * of them lets it through, so that everything is worked out once an allowance, of which there are far fewer than lists of them.
 */
export interface Holding {
  readonly index: number;
  /** Null where they hold none: they are silent. */
  readonly terms: Terms | null;
  readonly days: Region;
  /** Where it covers, and they come. */
  readonly cells: readonly Cell[];
}

/** The holdings of classes, each different one once. */
export class Holdings {
  private readonly blocks: Blocks;
  private readonly cells: readonly Cell[];
  private readonly made = new Map<Terms | null, Map<Uint8Array | null, Holding[]>>();
  private readonly known = new Map<PartyClass, readonly Holding[]>();
  private readonly letting = new Map<number, Map<Terms, number>>();
  private count = 0;

  constructor(blocks: Blocks, cells: readonly Cell[]) {
    this.blocks = blocks;
    this.cells = cells;
  }

  /** None where they never come. */
  of(party: PartyClass): readonly Holding[] {
    let holdings = this.known.get(party);
    if (!holdings) {
      const { terms } = party.list;
      holdings = party.mute ? [] : (terms.length === 0 ? [null] : terms).map((t) => this.holding(t, party));
      this.known.set(party, holdings);
    }
    return holdings;
  }

  /** The minutes of the week at which a holding lets at least so much through; every one where it is silent. */
  minutes({ terms }: Holding, least: number): number {
    if (terms === null) return WHOLE;
    let known = this.letting.get(least);
    if (!known) {
      known = new Map();
      this.letting.set(least, known);
    }
    let n = known.get(terms);
    if (n === undefined) {
      n = roomOf(terms).room < least ? NONE : this.blocks.minutes.windows(terms.row.times);
      known.set(terms, n);
    }
    return n;
  }

  private holding(terms: Terms | null, { sites, dayset, days }: PartyClass): Holding {
    let bySites = this.made.get(terms);
    if (!bySites) {
      bySites = new Map();
      this.made.set(terms, bySites);
    }
    let byDays = bySites.get(sites);
    if (!byDays) {
      byDays = [];
      bySites.set(sites, byDays);
    }
    let holding = byDays[dayset];
    if (!holding) {
      const others = byDays.find((h) => h !== undefined);
      const cells = others?.cells ?? this.cells.filter((c) => comes(sites, c) && (terms === null || covers(terms, c)));
      holding = { index: this.count++, terms, days: this.blocks.on(days), cells };
      byDays[dayset] = holding;
    }
    return holding;
  }
}

const covers = ({ products, sites }: Terms, { site, product }: Cell): boolean =>
  products[product] === 1 && (sites === null || sites[site] === 1);

const comes = (sites: Uint8Array | null, { site }: Cell): boolean => sites === null || sites[site] === 1;

export const mayCome = (party: PartyClass, cell: Cell): boolean => !party.mute && comes(party.sites, cell);

/** Whether the vehicle's tank holds so much; drivers have none. */
export const holdsSoMuch = (party: PartyClass, least: number): boolean =>
  party.capacity === null || party.capacity >= least;
