import type { Fleet } from '@fillwright/core/fleet';
import type { ChangeKind } from '@fillwright/core/reach';
import { formatDate } from '@fillwright/core/units';
import { nameOf } from '../../data/name-of.ts';
import type { Compared } from '../../reach/compared.ts';
import type { Pair, Version, Within } from '../../reach/message.ts';
import { countText } from '../../show/amounts.ts';

export const versionSaid = (version: Version): string =>
  version === 'draft' ? 'the draft' : version === null ? 'nothing' : `release ${version}`;

/** 'release 3 with the draft', 'North yard with South yard'. */
export const pairSaid = (fleet: Fleet, pair: Pair | null): string =>
  pair === null
    ? ''
    : pair.kind === 'fleets'
      ? `${versionSaid(pair.before)} with ${versionSaid(pair.after)}`
      : `${nameOf(fleet, 'sites', pair.first)} with ${nameOf(fleet, 'sites', pair.second)}`;

/** What is more first, then what is less. */
export const KINDS = ['gained', 'raised', 'lost', 'lowered'] as const satisfies readonly ChangeKind[];

/** What a kind of change is called: of two sites by their names. */
export const wordsOf = (sites: readonly [string, string] | undefined): Readonly<Record<ChangeKind, string>> =>
  sites
    ? {
        gained: `at ${sites[1]} alone`,
        raised: `more at ${sites[1]}`,
        lost: `at ${sites[0]} alone`,
        lowered: `more at ${sites[0]}`,
      }
    : { gained: 'gained', raised: 'raised', lost: 'lost', lowered: 'lowered' };

/** ', for Ana Voss, at North yard, of Diesel': what of it is looked at. */
function withinSaid(fleet: Fleet, { driver, vehicle, department, site, product }: Within): string {
  const who = [
    driver === null ? [] : nameOf(fleet, 'drivers', driver),
    vehicle === null ? [] : nameOf(fleet, 'vehicles', vehicle),
    department ?? [],
  ].flat();
  const parts = [
    who.length > 0 && `for ${who.join(' with ')}`,
    site !== null && `at ${nameOf(fleet, 'sites', site)}`,
    product !== null && `of ${nameOf(fleet, 'products', product)}`,
  ];
  return parts.map((part) => (part ? `, ${part}` : '')).join('');
}

/** The whole comparison in two sentences. */
export function summary(fleet: Fleet, pair: Pair | null, within: Within, { told }: Compared): string {
  const { points, days, looked } = told;
  const span = `from ${formatDate(days[0])} to ${formatDate(days[1])}`;
  const two = pairSaid(fleet, pair).replace(' with ', ' and ') + withinSaid(fleet, within);
  const words = wordsOf(
    pair?.kind === 'sites' ? [nameOf(fleet, 'sites', pair.first), nameOf(fleet, 'sites', pair.second)] : undefined,
  );
  const said = KINDS.filter((kind) => points[kind] > 0n).map((kind) => `${countText(points[kind])} ${words[kind]}`);
  if (said.length === 0) return `Between ${two} nothing differs, ${span}.`;
  const place = pair?.kind === 'sites' ? 'a product and a minute by the site’s own clock' : 'a hose and a minute';
  return `Points between ${two}, ${span}: ${said.join(', ')}, of ${countText(looked)} looked at. A point is a driver or nobody, a vehicle or nobody, ${place}.`;
}

/** '3 lines, 1,200 points'. */
export function countsSaid({ told }: Compared, kinds: readonly ChangeKind[]): string {
  const lines = told.lines.filter((l) => kinds.includes(l.kind)).length + kinds.reduce((n, k) => n + told.more[k], 0);
  const points = kinds.reduce((n, k) => n + told.points[k], 0n);
  return `${countText(lines)} ${lines === 1 ? 'group' : 'groups'}, ${countText(points)} points`;
}
