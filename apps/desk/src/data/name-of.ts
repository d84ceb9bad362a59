import { type Fleet, rowsOf, type TableName } from '@fillwright/core/fleet';

/** What people call a record: its name, a hose's number, a credential's number, or else its id. */
export function nameOf(fleet: Fleet, table: TableName, id: string): string {
  const row = rowsOf(fleet, table).get(id);
  if (!row) return id;
  const { name, prompt, number } = row;
  if (typeof name === 'string' && name !== '') return name;
  if (typeof prompt === 'string' && prompt !== '') return prompt;
  if (table === 'hoses' && typeof number === 'number') return `hose ${number}`;
  if (typeof number === 'string' && number !== '') return number;
  return id;
}
