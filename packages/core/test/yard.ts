import {
  applyEdits,
  type Edit,
  emptyFleet,
  type Fleet,
  newRow,
  type RowOf,
  type TableName,
} from '../src/fleet/index.ts';

/** US gallons in microlitres. */
export const gal = (n: number): number => Math.round(n * 3_785_411.784);

const put = <T extends TableName>(table: T, given: Partial<RowOf<T>> & { id: string }): Edit => ({
  op: 'put',
  table,
  row: newRow(table, given),
});

export { put };
export const set = (table: TableName, id: string, fields: Record<string, unknown>): Edit => ({
  op: 'set',
  table,
  id,
  fields,
});
export const remove = (table: TableName, id: string): Edit => ({ op: 'remove', table, id });

const site = 'north';

const START: readonly Edit[] = [
  put('costCentres', { id: 'haulage', name: 'Haulage', code: '100' }),
  put('products', { id: 'diesel', name: 'Diesel', kind: 'diesel', short: 'DIESEL' }),
  put('products', { id: 'petrol', name: 'Petrol', kind: 'petrol', short: 'PETROL' }),
  put('questions', { id: 'odometer', prompt: 'Odometer?', kind: 'odometer' }),
  put('sites', { id: site, name: 'North yard', zone: 'America/Chicago', questions: ['odometer'] }),
  put('prices', { id: 'diesel-2026', product: 'diesel', from: '2026-01-01', price: 42_500 }),
  put('prices', { id: 'petrol-2026', product: 'petrol', from: '2026-01-01', price: 38_000 }),
  put('islands', { id: 'island-1', site, name: 'Island 1' }),
  put('tanks', { id: 'tank-diesel', site, name: 'Tank 1', product: 'diesel' }),
  put('tanks', { id: 'tank-petrol', site, name: 'Tank 2', product: 'petrol' }),
  put('pumps', { id: 'pump-diesel', site, name: 'Pump 1', tanks: ['tank-diesel'] }),
  put('pumps', { id: 'pump-petrol', site, name: 'Pump 2', tanks: ['tank-petrol'] }),
  put('terminals', {
    id: 'terminal-1',
    site,
    island: 'island-1',
    name: 'Terminal 1',
    paper: 40,
    idle: ['Present your card'],
  }),
  put('hoses', {
    id: 'hose-1',
    site,
    number: 1,
    channel: 1,
    island: 'island-1',
    pump: 'pump-diesel',
    terminals: ['terminal-1'],
    product: 'diesel',
  }),
  put('hoses', {
    id: 'hose-2',
    site,
    number: 2,
    channel: 2,
    island: 'island-1',
    pump: 'pump-petrol',
    terminals: ['terminal-1'],
    product: 'petrol',
    flow: gal(10),
    mostPerFill: gal(60),
    longest: 10,
  }),
  put('allowances', {
    id: 'day-crew',
    name: 'Day crew diesel',
    products: ['diesel'],
    perFill: gal(40),
    perDay: gal(80),
    times: [{ days: [0, 1, 2, 3, 4], from: 360, to: 1080 }],
  }),
  put('allowances', { id: 'vans', name: 'Vans', products: ['diesel', 'petrol'], perFill: gal(50) }),
  put('allowances', { id: 'pool', name: 'Pool petrol', products: ['petrol'] }),
  put('drivers', {
    id: 'd-1',
    name: 'Wren Aldous',
    number: '1001',
    department: 'Haulage',
    costCentre: 'haulage',
    allowances: ['day-crew', 'pool'],
  }),
  put('vehicles', {
    id: 'v-1',
    name: 'Lorry 1',
    plate: 'LK-101',
    department: 'Haulage',
    allowances: ['vans'],
    capacity: gal(50),
  }),
  put('credentials', { id: 'c-1', number: '70001', driver: 'd-1' }),
  put('credentials', { id: 'c-2', number: '70002', vehicle: 'v-1' }),
];

/** A one-site fleet with nothing to find, and then `edits` on it. */
export function yard(...edits: readonly Edit[]): Fleet {
  const made = applyEdits(emptyFleet({ name: 'Larkmoor Haulage', units: 'us', currency: 'USD' }), [...START, ...edits]);
  if (!made.ok) throw new Error(JSON.stringify(made.error));
  return made.value;
}
