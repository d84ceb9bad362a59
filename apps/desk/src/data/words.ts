import { type Edit, type Fleet, fieldOf, formatValue, rowsOf, TABLES } from '@fillwright/core/fleet';
import { nameOf } from './where.ts';

/** Edits as short lines: 'driver Ada Fenn: Department becomes night'. Values are shown in the fleet's units. */
export function editsInWords(fleet: Fleet, edits: readonly Edit[]): string[] {
  return edits.map((edit) => {
    if (edit.op === 'settings')
      return `settings: ${Object.entries(edit.fields)
        .map(([key, value]) => `${key} becomes ${value}`)
        .join('; ')}`;
    const { one } = TABLES[edit.table];
    if (edit.op === 'put') {
      const name = typeof edit.row.name === 'string' && edit.row.name !== '' ? edit.row.name : String(edit.row.id);
      return `${one} ${name}: ${rowsOf(fleet, edit.table).has(String(edit.row.id)) ? 'written' : 'added'}`;
    }
    const called = nameOf(fleet, edit.table, edit.id);
    // A hose is called 'hose 3' already.
    const name = called.startsWith(`${one} `) ? called.slice(one.length + 1) : called;
    if (edit.op === 'remove') return `${one} ${name}: removed`;
    const parts = Object.entries(edit.fields).map(([key, value]) => {
      const field = fieldOf(edit.table, key);
      const said = field ? formatValue(field, value, fleet) : String(value);
      return `${field?.label ?? key} becomes ${said === '' ? 'empty' : said}`;
    });
    return `${one} ${name}: ${parts.join('; ')}`;
  });
}
