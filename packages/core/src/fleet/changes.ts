import { editsBetween } from './edits.ts';
import type { TableName } from './fields.ts';
import { type Fleet, rowsOf } from './fleet.ts';
import { formatValue } from './format-value.ts';
import { type AnyRow, type Field, fieldsOf, TABLE_NAMES, TABLES } from './tables.ts';

/** One change between two fleets, ready to read; records that came or went together are one change. */
export interface Change {
  readonly kind: 'added' | 'removed' | 'changed' | 'settings';
  /** Undefined for the fleet's settings. */
  readonly table?: TableName;
  readonly ids: readonly string[];
  readonly field?: string;
  /** A sentence without its full stop, such as 'Per fill of allowance “Day crew”: 40 gal → 60 gal'. */
  readonly text: string;
}

/** More names than this are counted instead of listed. */
const MOST_NAMES = 8;

const SETTINGS = { name: 'Name of the fleet', units: 'Units', currency: 'Currency' } as const;
const UNIT_NAMES: Readonly<Record<string, string>> = { us: 'US gallons', metric: 'litres' };

/** A record as people call it, without its table: its name, prompt, wish or number; else its id. */
export function nameOf(fleet: Fleet, table: TableName, id: string): string {
  const row = rowsOf(fleet, table).get(id);
  if (!row) return id;
  if (table === 'hoses') return `${row.number} of ${fleet.sites.get(String(row.site))?.name ?? row.site}`;
  if (table === 'prices') {
    const where = row.site === null ? '' : ` at ${nameOf(fleet, 'sites', String(row.site))}`;
    return `${nameOf(fleet, 'products', String(row.product))}${where} from ${row.from}`;
  }
  const text = table === 'credentials' ? row.number : (row.name ?? row.prompt ?? row.wish);
  return typeof text === 'string' && text.trim() !== '' ? text : id;
}

/** 'allowance “Day crew”', 'hose 3 of North yard'. */
function called(fleet: Fleet, table: TableName, id: string): string {
  const name = nameOf(fleet, table, id);
  return table === 'hoses' ? `hose ${name}` : `${TABLES[table].one} “${name}”`;
}

/** A value for people: references by name; everything else as `formatValue` writes it. */
export function valueInWords(field: Field, value: unknown, fleet: Fleet): string {
  const { ref } = field;
  if (ref && typeof value === 'string' && value !== '') return nameOf(fleet, ref, value);
  if (ref && Array.isArray(value) && value.length > 0)
    return value.map((id) => nameOf(fleet, ref, String(id))).join(', ');
  const text = formatValue(field, value, fleet, { brief: true });
  return text === '' ? 'empty' : text;
}

/**
 * What differs between two fleets, in words: settings first, then table by table in the order of the tables: added, removed, changed.
 * Old values are written in the units that the fleet had, new ones in those that it has.
 */
export function changesInWords(before: Fleet, after: Fleet): Change[] {
  const edits = editsBetween(before, after);
  const changes: Change[] = [];
  for (const edit of edits) {
    if (edit.op !== 'settings') continue;
    for (const [key, label] of Object.entries(SETTINGS) as [keyof typeof SETTINGS, string][]) {
      if (!(key in edit.fields)) continue;
      const [old, now] = [before.settings[key], after.settings[key]].map((v) => (key === 'units' ? UNIT_NAMES[v] : v));
      changes.push({ kind: 'settings', ids: [], field: key, text: `${label}: ${old} → ${now}` });
    }
  }
  for (const table of TABLE_NAMES) {
    const added: string[] = [];
    const removed: string[] = [];
    const changed: Change[] = [];
    for (const edit of edits) {
      if (edit.op === 'settings' || edit.table !== table) continue;
      if (edit.op === 'put') added.push(String(edit.row.id));
      else if (edit.op === 'remove') removed.push(edit.id);
      else changed.push(...fieldChanges(before, after, table, edit.id, Object.keys(edit.fields)));
    }
    if (added.length > 0) changes.push(together('added', after, table, added));
    if (removed.length > 0) changes.push(together('removed', before, table, removed));
    changes.push(...changed);
  }
  return changes;
}

function together(kind: 'added' | 'removed', fleet: Fleet, table: TableName, ids: readonly string[]): Change {
  const { one, many } = TABLES[table];
  const names = ids.map((id) => nameOf(fleet, table, id));
  const shown = names.slice(0, MOST_NAMES).join(', ');
  const more = names.length > MOST_NAMES ? ` and ${names.length - MOST_NAMES} more` : '';
  return { kind, table, ids, text: `${ids.length} ${ids.length === 1 ? one : many} ${kind}: ${shown}${more}` };
}

function fieldChanges(before: Fleet, after: Fleet, table: TableName, id: string, names: readonly string[]): Change[] {
  const [old, now] = [rowsOf(before, table).get(id), rowsOf(after, table).get(id)] as [AnyRow, AnyRow];
  return fieldsOf(table).flatMap((field) => {
    if (!names.includes(field.name)) return [];
    const what = `${field.label} of ${called(after, table, id)}`;
    const text = `${what}: ${difference(field, old[field.name], now[field.name], before, after)}`;
    return [{ kind: 'changed' as const, table, ids: [id], field: field.name, text }];
  });
}

/** Lists of two or more by what came and what went; everything else as old → new. */
function difference(field: Field, old: unknown, now: unknown, before: Fleet, after: Fleet): string {
  const isSet = field.kind === 'refs' || field.kind === 'dates';
  if (isSet && Array.isArray(old) && Array.isArray(now) && old.length + now.length > 2) {
    const came = now.filter((v) => !old.includes(v));
    const went = old.filter((v) => !now.includes(v));
    const parts = [
      came.length > 0 ? `added ${valueInWords(field, came, after)}` : '',
      went.length > 0 ? `removed ${valueInWords(field, went, before)}` : '',
    ].filter((part) => part !== '');
    if (parts.length > 0) return parts.join('; ');
  }
  return `${valueInWords(field, old, before)} → ${valueInWords(field, now, after)}`;
}
