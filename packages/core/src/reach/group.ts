import type { CellSet } from './cell-sets.ts';
import type { ChangeGroup, Names, Who, Witness } from './change.ts';
import type { Couples } from './couples.ts';
import type { Cells, Crowd } from './crowd.ts';
import { type Heard, widen } from './heard.ts';
import { Look, type Looked } from './look.ts';
import { People } from './names.ts';
import type { Spot } from './spot.ts';
import type { GroupKey } from './tally.ts';

/** One group of a difference; whom and where it touches is found when first read, and what is found at a spot is kept there. */
export class Group implements ChangeGroup {
  readonly kind: ChangeGroup['kind'];
  readonly product: string;
  readonly whyBefore: number;
  readonly whyAfter: number;
  readonly points: bigint;
  /** The points, rounded: quick to sort by. */
  readonly rank: number;
  private readonly live: Looked;
  /** Its number in the tally. */
  readonly slot: number;
  private readonly key: GroupKey;
  private found: Found | null = null;
  /** Who had come to its spots when it was found, and after how many edits that was last looked at. */
  private came = '';
  private foundAt = -1;
  private shown: Witness | null = null;
  private shownAt = -1;

  constructor(live: Looked, slot: number, key: GroupKey, points: bigint) {
    this.live = live;
    this.slot = slot;
    this.key = key;
    this.kind = key.kind;
    this.product = key.product;
    this.whyBefore = key.whyBefore;
    this.whyAfter = key.whyAfter;
    this.points = points;
    this.rank = Number(points);
  }

  private get all(): Found {
    this.live.asked.add(this.slot);
    const { edits, changed } = this.live;
    if (this.found && this.foundAt === edits) return this.found;
    // Edits that left its points change only of which classes people are, and those who came to be of one are noted.
    const came = this.here()
      .map(({ drivers, vehicles }) => `${drivers.entered.length} ${vehicles.entered.length}`)
      .join();
    const isKept = came === this.came && (changed.get(this.slot) ?? 0) <= this.foundAt;
    if (!this.found || !isKept) this.found = this.find();
    this.came = came;
    this.foundAt = edits;
    return this.found;
  }

  get drivers(): Names {
    return this.all.drivers;
  }
  get vehicles(): Names {
    return this.all.vehicles;
  }
  get who(): Who {
    return this.all.who;
  }
  get sites(): ReadonlySet<string> {
    return this.all.where.sites;
  }
  get hoses(): Names {
    return this.all.where;
  }
  get before(): readonly [number, number] {
    return this.all.before;
  }
  get after(): readonly [number, number] {
    return this.all.after;
  }
  get witness(): Witness {
    if (this.shownAt !== this.live.edits) this.shown = null;
    this.shownAt = this.live.edits;
    for (const spot of this.here()) this.shown ??= Look.witnessAt(this.live, this.key, spot);
    return this.shown as Witness;
  }

  /** Spots at which it ever had points: at others it has none. */
  private here(): Spot[] {
    return this.live.spots.filter((spot) => spot.slots.has(this.slot));
  }

  /** Whether somewhere at some time so many drivers have the change with each of so many vehicles. */
  private isEach(drivers: number, vehicles: number): boolean {
    for (const spot of this.here()) {
      const heard = this.heardAt(spot);
      for (let part = 0; heard && part < spot.parts.count; part++) {
        const atMost = (side: 'drivers' | 'vehicles') =>
          peopleIn(spot[side], part, heard[side].cells.together[part] ?? null) + heard.couples.length;
        const most = atMost('drivers') * atMost('vehicles');
        if (most >= drivers * vehicles && Look.pairsAt(this.live, this.key, spot, part) >= drivers * vehicles)
          return true;
      }
    }
    return false;
  }

  private heardAt(spot: Spot): Heard | null {
    let heard = spot.heard.get(this.slot);
    if (heard === undefined) {
      heard = Look.at(this.live, this.key, spot);
      spot.heard.set(this.slot, heard);
    }
    return heard;
  }

  private find(): Found {
    const { live } = this;
    const people = () => [new People(live.drivers), new People(live.vehicles)] as const;
    const [alone, together] = [people(), people()];
    const where = new Where(live);
    const before: [number, number] = [Number.POSITIVE_INFINITY, 0];
    const after: [number, number] = [Number.POSITIVE_INFINITY, 0];
    const couples: Couples[number][] = [];
    for (const spot of this.here()) {
      const heard = this.heardAt(spot);
      if (!heard) continue;
      for (const n of [0, 1] as const) {
        const side = SIDES[n];
        const joints = heard[side].joints(spot[side], live.ways, spot.parts);
        alone[n].classes(joints.alone);
        together[n].classes(joints.together);
        together[n].except(heard.except[side], joints.together);
      }
      for (const couple of heard.couples) couples.push(couple);
      for (const n of [0, 1] as const) {
        widen(before, heard.before[n]);
        widen(after, heard.after[n]);
      }
      where.add(spot.hoses, spot.after === null);
    }
    for (const people of together) people.settle();
    for (const [driver, vehicle] of couples) {
      together[0].single(driver);
      together[1].single(vehicle);
    }
    const each = () => this.isEach(together[0].size, together[1].size);
    return {
      drivers: People.sum(alone[0], together[0]),
      vehicles: People.sum(alone[1], together[1]),
      who: {
        driversAlone: alone[0],
        vehiclesAlone: alone[1],
        together: {
          drivers: together[0],
          vehicles: together[1],
          get each() {
            return each();
          },
        },
      },
      where,
      before,
      after,
    };
  }
}

const SIDES = ['drivers', 'vehicles'] as const;

type Found = Pick<ChangeGroup, 'drivers' | 'vehicles' | 'who' | 'before' | 'after'> & { readonly where: Where };

/** The hoses of some spots, of which no two share one, and the sites that those are at: listed when asked. */
class Where implements Names {
  private readonly live: Looked;
  private readonly lists: (readonly string[])[] = [];
  private readonly gone: boolean[] = [];
  private at: Set<string> | null = null;

  constructor(live: Looked) {
    this.live = live;
  }

  /** `gone`: they are not there afterwards. */
  add(hoses: readonly string[], gone: boolean): void {
    this.lists.push(hoses);
    this.gone.push(gone);
  }

  get size(): number {
    return this.lists.reduce((n, list) => n + list.length, 0);
  }

  *[Symbol.iterator](): Iterator<string> {
    for (const list of this.lists) yield* list;
  }

  get sites(): ReadonlySet<string> {
    if (this.at) return this.at;
    this.at = new Set();
    for (const [n, list] of this.lists.entries()) {
      // A hose that is out of service afterwards is where it was, wherever its row says that it went.
      const { policy } = this.gone[n] ? this.live.before : this.live.after;
      for (const id of list) this.at.add(policy.hoses.get(id)?.row.site as string);
    }
    return this.at;
  }
}

function peopleIn(crowd: Crowd, part: number, among: CellSet | null): number {
  if (!among) return 0;
  let people = 0;
  for (const { ids, counts } of [crowd.moved[part] as Cells, crowd.still[part] as Cells])
    for (let n = 0; n < ids.length; n++) if (among.has(ids[n] as number)) people += counts[n] as number;
  return people;
}
