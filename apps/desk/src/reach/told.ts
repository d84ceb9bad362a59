import type { Fleet } from '@fillwright/core/fleet';
import {
  type ChangeGroup,
  type ChangeKind,
  cardsFor,
  type Difference,
  type Names,
  ruleWords,
  type Table,
} from '@fillwright/core/reach';
import { nameOf } from '../data/name-of.ts';
import { countText } from '../show/amounts.ts';
import { benchSearch } from './bench-search.ts';
import { namesAndMore, rangeWords } from './words.ts';

/** One group of a difference in words. */
export interface Line {
  readonly key: string;
  readonly kind: ChangeKind;
  readonly product: string;
  /** Each a way of coming: 'Ana Voss, Ben Ode and 12 more, without a vehicle', 'Ana Voss, each with Van 4'. */
  readonly who: readonly string[];
  /** Everybody it touches, by name, where that was asked and `who` does not name them all. */
  readonly all: string;
  readonly sites: string;
  readonly hoses: number;
  readonly before: string;
  readonly after: string;
  readonly whyBefore: string;
  readonly whyAfter: string;
  readonly points: bigint;
  /** The witness as the bench's address takes it. */
  readonly bench: Readonly<Record<string, string>>;
}

export interface Told {
  readonly since: number | null;
  readonly days: readonly [number, number];
  readonly lines: readonly Line[];
  /** Groups beyond those told, by kind. */
  readonly more: Readonly<Record<ChangeKind, number>>;
  readonly points: Readonly<Record<ChangeKind, bigint>>;
  readonly looked: bigint;
}

/** Lines of one kind that are told. */
const MOST_LINES = 60;

export interface ToldOptions {
  readonly since: number | null;
  /** Lines of one kind; the names of each cost a look over the fleet. */
  readonly most?: number;
  /** Names that are listed of each side of a group, where `who` leaves some out. */
  readonly names?: number;
  /** Groups that are told of; the others count for nothing. */
  readonly only?: (group: ChangeGroup) => boolean;
  /** The hose on which a witness is tried, where it is not the witness's own. */
  readonly tryOn?: (group: ChangeGroup) => string;
}

/** A difference in words, the largest groups first; names are those of the later fleet, or of the earlier where it has them no more. */
export function toldOf(difference: Difference, before: Table, after: Table, options: ToldOptions): Told {
  const { since, most = MOST_LINES, names = 0, only, tryOn = (g) => g.witness.hose } = options;
  const more = { gained: 0, lost: 0, raised: 0, lowered: 0 };
  const told = { gained: 0, lost: 0, raised: 0, lowered: 0 };
  const lines: Line[] = [];
  const points = { gained: 0n, lost: 0n, raised: 0n, lowered: 0n };
  for (const group of difference.groups) {
    if (only && !only(group)) continue;
    points[group.kind] += group.points;
    if (told[group.kind]++ < most) lines.push(lineOf(group, before, after, tryOn, names));
    else more[group.kind]++;
  }
  const days = [after.horizon[0] ?? 0, after.horizon.at(-1) ?? 0] as const;
  return { since, days, lines, more, points, looked: difference.looked };
}

/** Whether an allowance decides before or after. */
export const decides =
  (allowance: string, { book }: Table) =>
  (g: ChangeGroup): boolean =>
    [g.whyBefore, g.whyAfter].some((why) => book.reasons[why]?.allowance === allowance);

function lineOf(g: ChangeGroup, before: Table, after: Table, tryOn: (g: ChangeGroup) => string, names: number): Line {
  const [old, next] = [before.policy.fleet, after.policy.fleet];
  const called = (table: 'drivers' | 'vehicles' | 'sites' | 'products', id: string) =>
    nameOf(next[table].has(id) ? next : old, table, id);
  const listed = (table: 'drivers' | 'vehicles' | 'sites', ids: Names) => {
    const first: string[] = [];
    for (const id of ids) if (first.push(called(table, id)) === 3) break;
    return namesAndMore(first, ids.size);
  };
  const allOf = (ids: Names, table: 'drivers' | 'vehicles') => {
    if (ids.size <= 3) return '';
    const said: string[] = [];
    for (const id of ids) if (said.push(called(table, id)) === names) break;
    return `${said.join(', ')}${ids.size > said.length ? ` and ${countText(ids.size - said.length)} more` : ''}`;
  };
  return {
    key: `${g.kind} ${g.product} ${g.whyBefore} ${g.whyAfter}`,
    kind: g.kind,
    product: called('products', g.product),
    who: whoWords(g, listed),
    all: names === 0 ? '' : [allOf(g.drivers, 'drivers'), allOf(g.vehicles, 'vehicles')].filter(Boolean).join('; '),
    sites: listed('sites', g.sites),
    hoses: g.hoses.size,
    before: rangeWords(next, g.before),
    after: rangeWords(next, g.after),
    whyBefore: why(old, before, g.whyBefore),
    whyAfter: why(next, after, g.whyAfter),
    points: g.points,
    bench: benchOf(g, before, after, tryOn(g)),
  };
}

/** Who comes how: a driver without a vehicle, a vehicle without a driver, drivers with vehicles. */
function whoWords(g: ChangeGroup, listed: (table: 'drivers' | 'vehicles', ids: Names) => string): string[] {
  const { driversAlone, vehiclesAlone, together } = g.who;
  const words: string[] = [];
  if (driversAlone.size > 0) words.push(`${listed('drivers', driversAlone)}, without a vehicle`);
  if (together.drivers.size > 0) {
    const [drivers, vehicles] = [listed('drivers', together.drivers), listed('vehicles', together.vehicles)];
    const joined = together.vehicles.size === 1 ? 'with' : together.each ? 'with any of' : 'with some of';
    words.push(`${drivers}, ${joined} ${vehicles}`);
  }
  if (vehiclesAlone.size > 0) words.push(`${listed('vehicles', vehiclesAlone)}, without a driver`);
  return words;
}

const why = (fleet: Fleet, table: Table, at: number): string => {
  const reason = table.book.reasons[at];
  return reason ? ruleWords(fleet, reason) : 'not open to them';
};

function benchOf({ witness: w }: ChangeGroup, before: Table, after: Table, on: string): Record<string, string> {
  // The bench tries the draft; where the hose has gone there, or nobody can be presented, it shows that.
  const hose = after.policy.hoses.get(on) ?? before.policy.hoses.get(on);
  const cards = [after, before].map((t) => cardsFor(t.policy, w.driver, w.vehicle, w.day));
  return benchSearch({
    ...{ site: hose?.row.site ?? '', hose: on, zone: hose?.site?.row.zone, moment: w },
    cards: cards.find((c) => c.length > 0) ?? [],
  });
}
