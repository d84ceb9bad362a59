import type { Vehicle } from '../../fleet/index.ts';
import { formatDate } from '../../units/index.ts';
import { LEAST_USEFUL } from '../look.ts';
import type { Zones } from '../types.ts';
import { answersFor } from './answers.ts';
import { wallOf, zoneOf } from './apply.ts';
import { notCovered, ofAllowance } from './of-allowance.ts';
import { timesAhead } from './times.ts';
import type { Change, WhyCase } from './types.ts';
import { cardsOf, datesFor, holdersOf, presentable } from './who.ts';

/**
 * Everything that a person could have changed about this request, each by itself. Not among it, since it would weaken the site for
 * everybody: fewer credentials asked for, no PIN, no questions. `wanted` is the volume to be drawn (microlitres).
 */
export function choicesOf(base: WhyCase, wanted: number, zones: Zones): Change[] {
  const { fleet, request } = base;
  const { day, weekday, minute } = wallOf(base, zones);
  const date = formatDate(day);
  const minuteOfWeek = weekday * 1440 + minute;
  const list: Change[] = [];
  const field = (table: Extract<Change, { kind: 'field' }>['table'], id: string, name: string, to: Value) =>
    list.push({ kind: 'field', table, id, field: name, to });
  const site = fleet.sites.get(request.site);
  const need = Math.max(wanted, LEAST_USEFUL);

  for (const hose of fleet.hoses.values())
    if (hose.site === request.site && hose.id !== request.hose) list.push({ kind: 'hose', hose: hose.id });
  if (request.pin !== 'right') list.push({ kind: 'pin' });
  if (base.usage.cutOff) list.push({ kind: 'link' });
  if (site && !site.active) field('sites', site.id, 'active', true);
  if (site?.closed.includes(date)) field('sites', site.id, 'closed', date);
  const hose = fleet.hoses.get(request.hose);
  if (hose?.site === request.site) {
    if (!hose.active) field('hoses', hose.id, 'active', true);
    if (request.terminal && !hose.terminals.includes(request.terminal))
      field('hoses', hose.id, 'terminals', request.terminal);
    if (hose.mostPerFill < need) field('hoses', hose.id, 'mostPerFill', need);
  }

  const cards = cardsOf(fleet, request.credentials);
  for (const card of cards) {
    if (card.stopped) field('credentials', card.id, 'stopped', false);
    for (const [name, to] of datesFor(card, date)) field('credentials', card.id, name, to);
  }
  const holders = holdersOf(fleet, cards);
  for (const { table, row } of holders) {
    if (!row.active) field(table, row.id, 'active', true);
    for (const [name, to] of datesFor(row, date)) field(table, row.id, name, to);
    if (row.sites !== null && !row.sites.includes(request.site)) field(table, row.id, 'sites', request.site);
    const { capacity = null } = row as Partial<Vehicle>;
    if (capacity !== null && capacity < need) field(table, row.id, 'capacity', need);
    for (const id of row.allowances)
      list.push(...ofAllowance(base, `${table.slice(0, -1)}:${row.id}`, id, need, minuteOfWeek));
    for (const a of fleet.allowances.values())
      if (!row.allowances.includes(a.id) && notCovered(base, a, minuteOfWeek).length === 0)
        list.push({ kind: 'give', table, id: row.id, allowance: a.id });
  }
  const others = presentable(base, cards, holders, date, need);
  for (const { change } of others) list.push(change);
  list.push(...answersFor(base, holders));
  // Whoever is presented instead may be asked something else.
  for (const { holder } of others)
    list.push(...answersFor(base, [...holders.filter((h) => h.table !== holder.table), holder]));
  const held = new Set([...holders, ...others.map((o) => o.holder)].flatMap((h) => h.row.allowances));
  for (const c of list) if (c.kind === 'give') held.add(c.allowance);
  for (const at of timesAhead(base, zoneOf(base, zones), cards, holders, held)) list.push({ kind: 'time', at });
  return unique(list);
}

type Value = string | number | boolean | null;

const unique = (list: readonly Change[]): Change[] => [...new Map(list.map((c) => [JSON.stringify(c), c])).values()];
