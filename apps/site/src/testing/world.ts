import { emptyFleet, type Fleet, newRow, type RowOf, type TableName } from '@fillwright/core/fleet';

/** A small invented yard: one terminal, two diesel hoses on one tank, two drivers. */

export const SITE = 'wharf';
export const CARD = { ada: '70011', bo: '70022' } as const;
export const PIN: Readonly<Record<string, string>> = { ada: '2580', bo: '7413' };
const GAL = 3_785_412;

type Change = (put: <T extends TableName>(table: T, row: Partial<RowOf<T>> & { id: string }) => void) => void;

export function world(change: Change = () => {}): Fleet {
  const fleet = emptyFleet({ name: 'Wharf Works', units: 'us', currency: 'USD' });
  const put: Parameters<Change>[0] = (table, row) => {
    const rows = fleet[table] as unknown as Map<string, unknown>;
    rows.set(row.id, { ...newRow(table, row), ...(rows.get(row.id) as object | undefined), ...row });
  };
  put('products', { id: 'diesel', name: 'Diesel', short: 'DIESEL' });
  put('sites', { id: SITE, name: 'Wharf Yard', zone: 'UTC', identify: 'driver', pin: false });
  put('islands', { id: 'i1', site: SITE, name: 'Island' });
  put('tanks', { id: 't1', site: SITE, name: 'Tank', product: 'diesel' });
  put('pumps', { id: 'p1', site: SITE, name: 'Pump', tanks: ['t1'] });
  put('terminals', { id: 'term', site: SITE, island: 'i1', name: 'Terminal', paper: 32, receiptHead: ['Wharf Yard'] });
  for (const number of [1, 2])
    put('hoses', {
      id: `h${number}`,
      site: SITE,
      number,
      island: 'i1',
      pump: 'p1',
      terminals: ['term'],
      product: 'diesel',
    });
  put('allowances', { id: 'daily', name: 'Daily', products: ['diesel'], perFill: 10 * GAL, perDay: 15 * GAL });
  for (const id of ['ada', 'bo'] as const) {
    put('drivers', { id, name: id === 'ada' ? 'Ada Wharfside' : 'Bo Tarnfield', allowances: ['daily'] });
    put('credentials', { id: `card-${id}`, number: CARD[id], driver: id });
  }
  put('prices', { id: 'price', product: 'diesel', from: '2026-01-01', price: 42_500 });
  change(put);
  return fleet;
}
