import { type Edit, newRow, type TableName } from '@fillwright/core/fleet';
import { type Caller, call } from '@fillwright/wire';

export function must<T>(done: { ok: true; value: T } | { ok: false; error: unknown }): T {
  if (done.ok) return done.value;
  throw new Error(JSON.stringify(done.error));
}

const put = (table: TableName, row: { id: string } & Record<string, unknown>): Edit => ({
  op: 'put',
  table,
  row: { ...newRow(table, row as never) },
});

/** So many changes at once. */
const AT_ONCE = 5_000;

/** Puts one small yard and `rows` drivers with a credential each, in 40 departments and 20 allowances, into an empty draft. */
export async function putRoster(caller: Caller, rows: number): Promise<void> {
  const edits: Edit[] = [
    put('products', { id: 'diesel', name: 'Diesel', kind: 'diesel', short: 'DIESEL' }),
    put('sites', { id: 'yard', name: 'Yard', zone: 'America/Denver', address: '1 Quarry Road', pin: false }),
    put('islands', { id: 'yard-i', site: 'yard', name: 'Island' }),
    put('tanks', { id: 'yard-t', site: 'yard', name: 'Tank', product: 'diesel', capacity: 30_000_000_000 }),
    put('pumps', { id: 'yard-p', site: 'yard', name: 'Pump', tanks: ['yard-t'] }),
    put('terminals', { id: 'yard-k', site: 'yard', island: 'yard-i', name: 'Terminal' }),
    put('hoses', {
      id: 'yard-h',
      site: 'yard',
      number: 1,
      island: 'yard-i',
      pump: 'yard-p',
      terminals: ['yard-k'],
      product: 'diesel',
    }),
    put('prices', { id: 'price', product: 'diesel', site: null, from: '2026-01-01', price: 40_000 }),
  ];
  for (let i = 0; i < 20; i++)
    edits.push(
      put('allowances', { id: `a${i}`, name: `Allowance ${i}`, products: ['diesel'], perDay: 200_000_000 + i }),
    );
  for (let i = 0; i < rows; i++) {
    const id = `d${i}`;
    // Names in no order, so that sorting has work to do.
    const name = `Driver ${(i * 7919) % rows}`;
    edits.push(
      put('drivers', { id, name, number: String(i), department: `dep-${i % 40}`, allowances: [`a${i % 20}`] }),
    );
    edits.push(put('credentials', { id: `c${i}`, number: String(7_000_000 + i), driver: id }));
  }
  let { version } = must(await call(caller, 'draft', {}));
  for (let from = 0; from < edits.length; from += AT_ONCE)
    ({ version } = must(
      await call(caller, 'editDraft', { body: { version, edits: edits.slice(from, from + AT_ONCE) } }),
    ));
}
