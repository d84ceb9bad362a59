import type { Edit } from './edits.ts';
import { ID_PATTERN, type TableName } from './fields.ts';
import { type Fleet, referencesOf, rowsOf } from './fleet.ts';
import { type AnyRow, fieldsOf, TABLE_NAMES } from './tables.ts';

/** Parts copied or taken away with what belongs to them, as edits. Pure: the same fleet gives the same ids. */

export type Copied = 'pumps' | 'islands' | 'sites';

/** The records that come with a part: of these tables those whose field names it. */
const UNDER: Readonly<Record<Copied, readonly (readonly [TableName, string])[]>> = {
  pumps: [['hoses', 'pump']],
  islands: [
    ['terminals', 'island'],
    ['hoses', 'island'],
  ],
  sites: [
    ['islands', 'site'],
    ['tanks', 'site'],
    ['pumps', 'site'],
    ['terminals', 'site'],
    ['hoses', 'site'],
    ['prices', 'site'],
  ],
};

/** `wanted`, or the first of wanted-2, wanted-3, ... that is free; cut so that it stays an id of at most 60 characters. */
export function freeId(wanted: string, isTaken: (id: string) => boolean): string {
  const base = ID_PATTERN.test(wanted) ? wanted : 'part';
  if (!isTaken(base)) return base;
  for (let n = 2; ; n++) {
    const id = `${base.slice(0, 59 - String(n).length)}-${n}`;
    if (!isTaken(id)) return id;
  }
}

/** The least whole number from 1 to `most` that is not used; `most` when all are, so that a finding shows the clash. */
export function freeNumber(used: ReadonlySet<number>, most: number): number {
  for (let n = 1; n <= most; n++) if (!used.has(n)) return n;
  return most;
}

/** 'Pump 1' to 'Pump 2', 'Yard' to 'Yard 2': the name's last number counted up until it is free. */
export function freeName(name: string, isTaken: (name: string) => boolean): string {
  const [, stem = name, digits] = /^(.*?)\s*(\d{1,6})?$/.exec(name) ?? [];
  const prefix = stem === '' ? '' : `${stem.slice(0, 190)} `;
  for (let n = digits === undefined ? 2 : Number(digits) + 1; ; n++)
    if (!isTaken(`${prefix}${n}`)) return `${prefix}${n}`;
}

/**
 * The edits that copy a pump with its hoses, an island with its terminals and hoses, or a site with everything in it and its own prices.
 * References between copied parts lead to the copies, others stay. Ids are the old ones counted up; hose numbers and channels at the same
 * site are the next free ones, on a copied site the old ones. People are not copied: nobody gains a site by a copy.
 * No edits when there is no such part.
 */
export function copyOf(table: Copied, id: string, fleet: Fleet): Edit[] {
  const original = rowsOf(fleet, table).get(id);
  if (!original) return [];
  const parts: { table: TableName; row: AnyRow }[] = [{ table, row: original }];
  for (const [under, field] of UNDER[table])
    for (const row of rowsOf(fleet, under).values()) if (row[field] === id) parts.push({ table: under, row });

  const ids = newIds(parts, fleet);
  const numbers = table === 'sites' ? undefined : freeOnSite(fleet, String(original.site));
  return parts.map((part) => {
    const row: Record<string, unknown> = { ...part.row, id: ids.get(keyOf(part.table, part.row.id)) };
    for (const field of fieldsOf(part.table)) {
      const to = field.ref;
      if (!to) continue;
      const value = row[field.name];
      const led = (old: unknown) => ids.get(keyOf(to, String(old))) ?? old;
      row[field.name] = Array.isArray(value) ? value.map(led) : value === null ? null : led(value);
    }
    if (part.row === original || (numbers && part.table === 'terminals'))
      row.name = nextName(part.table, part.row, fleet);
    if (numbers && part.table === 'hoses') {
      row.number = numbers.take('number', 99);
      row.channel = numbers.take('channel', 64);
    }
    return { op: 'put', table: part.table, row };
  });
}

const keyOf = (table: TableName, id: string) => `${table}/${id}`;

/** 'hose-1' to 'hose-2', 'pump' to 'pump-2'; parts of a copied site that are named after it take the copy's id in front. */
function newIds(parts: readonly { table: TableName; row: AnyRow }[], fleet: Fleet): ReadonlyMap<string, string> {
  const ids = new Map<string, string>();
  const given = new Set<string>();
  const site = parts.find((part) => part.table === 'sites')?.row.id;
  for (const { table, row } of parts) {
    const isTaken = (i: string) => rowsOf(fleet, table).has(i) || given.has(keyOf(table, i));
    const copiedSite = site === undefined ? undefined : ids.get(keyOf('sites', site));
    const prefixed = copiedSite !== undefined && row.id.startsWith(`${site}-`);
    const id = prefixed
      ? freeId(`${copiedSite}${row.id.slice(site?.length)}`.slice(0, 60), isTaken)
      : countedUp(row.id, isTaken);
    given.add(keyOf(table, id));
    ids.set(keyOf(table, row.id), id);
  }
  return ids;
}

function countedUp(id: string, isTaken: (id: string) => boolean): string {
  const [, stem = id, digits] = /^(.*?)(?:-(\d{1,6}))?$/.exec(id) ?? [];
  for (let n = digits === undefined ? 2 : Number(digits) + 1; ; n++) {
    const next = `${(stem || 'part').slice(0, 50)}-${n}`;
    if (!isTaken(next)) return next;
  }
}

const namesGiven = (table: TableName, site: unknown, fleet: Fleet): ReadonlySet<string> =>
  new Set(
    [...rowsOf(fleet, table).values()].filter((r) => r.site === site).map((r) => String(r.name).trim().toLowerCase()),
  );

function nextName(table: TableName, row: AnyRow, fleet: Fleet): string {
  const taken = namesGiven(table, row.site, fleet);
  return freeName(String(row.name), (name) => taken.has(name.toLowerCase()));
}

function freeOnSite(fleet: Fleet, site: string) {
  const hoses = [...fleet.hoses.values()].filter((h) => h.site === site);
  const used = { number: new Set(hoses.map((h) => h.number)), channel: new Set(hoses.map((h) => h.channel)) };
  return {
    take(field: 'number' | 'channel', most: number): number {
      const free = freeNumber(used[field], most);
      used[field].add(free);
      return free;
    },
  };
}

/** What goes when a part goes, beyond `UNDER`: only what cannot stand without it. */
const GOES_WITH: Readonly<Partial<Record<TableName, readonly (readonly [TableName, string])[]>>> = {
  ...UNDER,
  products: [['prices', 'product']],
};

/**
 * The edits that take a record away with everything under it, and its name out of every list and every field that may be empty.
 * A list of sites that would become empty stays empty, which is 'none' and never 'all'. A holder's last allowance is left named, because
 * a holder without any is silent and the other's allowance would rule alone: the finding about it asks a person. Where a field that must be filled names
 * something that goes and does not lie under it (a tank's product, an expectation about a site), the reference is left standing for
 * the findings to show, except that an expectation about something that goes goes with it. No edits when there is no such record.
 */
export function removeWith(table: TableName, id: string, fleet: Fleet): Edit[] {
  if (!rowsOf(fleet, table).has(id)) return [];
  const gone = new Set<string>();
  const queue: [TableName, string][] = [[table, id]];
  for (let next = queue.shift(); next; next = queue.shift()) {
    const [from, old] = next;
    if (gone.has(keyOf(from, old))) continue;
    gone.add(keyOf(from, old));
    for (const [under, field] of GOES_WITH[from] ?? [])
      for (const row of rowsOf(fleet, under).values()) if (row[field] === old) queue.push([under, row.id]);
    // A price or an expectation about one thing would speak of everything once its field is empty.
    for (const narrow of ['prices', 'expectations'] as const)
      for (const row of rowsOf(fleet, narrow).values())
        for (const ref of referencesOf(narrow, row))
          if (ref.to === from && ref.id === old) queue.push([narrow, row.id]);
    // A credential of somebody who goes would otherwise be one card for the other alone.
    if (from === 'drivers' || from === 'vehicles')
      for (const c of fleet.credentials.values())
        if ((from === 'drivers' ? c.driver : c.vehicle) === old) queue.push(['credentials', c.id]);
  }
  return [...unnamed(fleet, gone), ...removals(gone)];
}

const removals = (gone: ReadonlySet<string>): Edit[] =>
  [...gone].reverse().map((key) => {
    const [table, id] = key.split('/') as [TableName, string];
    return { op: 'remove', table, id };
  });

function unnamed(fleet: Fleet, gone: ReadonlySet<string>): Edit[] {
  const edits: Edit[] = [];
  for (const table of TABLE_NAMES) {
    const refs = fieldsOf(table).filter((f) => f.ref);
    for (const row of rowsOf(fleet, table).values()) {
      if (gone.has(keyOf(table, row.id))) continue;
      const fields: Record<string, unknown> = {};
      for (const { name, ref, start } of refs) {
        const value = row[name];
        const goes = (old: unknown) => ref !== undefined && gone.has(keyOf(ref, String(old)));
        if (Array.isArray(value)) {
          const stay = value.filter((v) => !goes(v));
          if (stay.length < value.length && (stay.length > 0 || ref !== 'allowances')) fields[name] = stay;
        } else if (value !== null && start === null && goes(value)) fields[name] = null;
      }
      if (Object.keys(fields).length > 0) edits.push({ op: 'set', table, id: row.id, fields });
    }
  }
  return edits;
}
