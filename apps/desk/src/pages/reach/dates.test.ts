import { emptyFleet, newRow } from '@fillwright/core/fleet';
import { formatDate, parseDate, zoneTable } from '@fillwright/core/units';
import { expect, test } from 'vitest';
import { datesOf } from './dates.ts';

const fleet = emptyFleet({ name: 'Marrow Vale', units: 'us', currency: 'USD' });
const put = (table: 'sites' | 'hoses' | 'products' | 'prices' | 'drivers' | 'credentials', row: { id: string }) =>
  (fleet[table] as unknown as Map<string, unknown>).set(row.id, newRow(table, row as never));
put('sites', { id: 'north', zone: 'America/Chicago', closed: ['2026-12-25', '2028-12-25'] } as never);
put('products', { id: 'diesel', name: 'Diesel' } as never);
put('products', { id: 'petrol', name: 'Petrol' } as never);
put('hoses', { id: 'h1', number: 1, site: 'north', product: 'diesel' } as never);
put('prices', { id: 'a', product: 'diesel', site: null, from: '2027-01-01', price: 1 } as never);
put('prices', { id: 'b', product: 'petrol', site: 'north', from: '2027-02-01', price: 1 } as never);
put('drivers', { id: 'ana', name: 'Ana Voss', validUntil: '2027-03-31', department: 'Roads' } as never);
put('drivers', { id: 'ben', name: 'Ben Ode', validUntil: '2027-03-31', department: 'Parks' } as never);
put('credentials', { id: 'c', number: '1001', kind: 'card', driver: 'ana', validFrom: '2027-01-04' } as never);

const HORIZON = [parseDate('2026-11-25') as number, parseDate('2027-11-24') as number];
const told = (part: { driver?: string; department?: string }) =>
  datesOf(
    fleet,
    { site: 'north', driver: null, vehicle: null, department: null, ...part },
    HORIZON,
    zoneTable('America/Chicago'),
  ).map((d) => `${formatDate(d.day)} ${d.kind}: ${d.words}`);

// The clocks of the United States go forward on the second Sunday of March and back on the first of November: 15 U.S.C. 260a.
const SITE = [
  '2026-12-25 closed: the site is closed',
  '2027-01-01 price: a new price of Diesel',
  '2027-03-14 clock: the clocks go forward by 60 min',
  '2027-11-07 clock: the clocks go back by 60 min',
];

test('dates of the site, of what it sells and of whoever is meant, within the year', () => {
  const ana = ['2027-01-04 begins: first day of card 1001'];
  const end = (who: string) => `2027-03-31 ends: last day of ${who}`;
  expect(told({}).sort()).toEqual([...SITE, ...ana, end('Ana Voss and Ben Ode')].sort());
  expect(told({ driver: 'ana' }).sort()).toEqual([...SITE, ...ana, end('Ana Voss')].sort());
  expect(told({ department: 'Parks' }).sort()).toEqual([...SITE, end('Ben Ode')].sort());
  expect(told({ driver: 'ben' })).toEqual([...told({ driver: 'ben' })].sort());
});
