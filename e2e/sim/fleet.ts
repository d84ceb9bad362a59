import { emptyFleet, type Fleet, newRow, type RowOf, type TableName } from '@fillwright/core/fleet';
import { type ZoneTable, zoneTable } from '@fillwright/core/units';

/** Three invented yards with one fleet: small, so that a day is cheap, and with each clause that an allowance may have for a cut-off site. */
export const FLEET = 'sim-works';
export const GAL = 3_785_412;
export const PER_DAY = 9 * GAL;
export const PER_FILL = 4 * GAL;
export const SHARE = 25;
export const PINS: Readonly<Record<string, string>> = { ada: '2580', bo: '7413', cy: '9081', di: '4402' };
export const CARDS: Readonly<Record<string, string>> = { ada: '70011', bo: '70022', cy: '70033', di: '70044' };
const CLAUSE = { ada: 'goOn', bo: 'share', cy: 'decline', di: 'share' } as const;
export const clauseOf = (driver: string) => CLAUSE[driver as keyof typeof CLAUSE];

const ZONES: Readonly<Record<string, string>> = { wharf: 'UTC', ridge: 'America/Denver', mill: 'Europe/Berlin' };
const TABLES = new Map(Object.entries(ZONES).map(([site, zone]) => [site, zoneTable(zone, 2026, 2028)]));
export const SITES = Object.keys(ZONES);
export const zoneOf = (site: string): ZoneTable => TABLES.get(site) as ZoneTable;
export const hosesOf = (site: string): readonly string[] => [`${site}-1`, `${site}-2`];

/** `edition` changes what a release changes: a word on the receipt, and every third time the plumbing. */
export function simFleet(edition: number): Fleet {
  const fleet = emptyFleet({ name: 'Sim Works', units: 'us', currency: 'USD' });
  const put = <T extends TableName>(table: T, row: Partial<RowOf<T>> & { id: string }) => {
    (fleet[table] as unknown as Map<string, unknown>).set(row.id, { ...newRow(table, row), ...row });
  };
  put('products', { id: 'diesel', name: 'Diesel', short: 'DIESEL' });
  for (const site of SITES) {
    put('sites', { id: site, name: site, zone: ZONES[site] ?? 'UTC', identify: 'driver', pin: site === 'ridge' });
    put('islands', { id: `${site}-i`, site, name: 'Island' });
    put('tanks', { id: `${site}-t`, site, name: 'Tank', product: 'diesel' });
    put('pumps', { id: `${site}-p`, site, name: 'Pump', tanks: [`${site}-t`] });
    put('terminals', {
      id: `${site}-term`,
      site,
      island: `${site}-i`,
      name: 'Terminal',
      paper: 32,
      receiptDays: 1,
      receiptHead: [`Edition ${edition}`],
    });
    for (const number of [1, 2])
      put('hoses', {
        id: `${site}-${number}`,
        site,
        number,
        island: `${site}-i`,
        pump: `${site}-p`,
        terminals: [`${site}-term`],
        product: 'diesel',
        lift: 60 + Math.floor(edition / 3),
      });
  }
  for (const driver of Object.keys(CARDS)) {
    put('allowances', {
      id: `for-${driver}`,
      name: `For ${driver}`,
      products: ['diesel'],
      perFill: PER_FILL,
      perDay: PER_DAY,
      cutOff: clauseOf(driver),
      share: SHARE,
    });
    put('drivers', { id: driver, name: driver, allowances: [`for-${driver}`] });
    put('credentials', { id: `card-${driver}`, number: CARDS[driver] ?? '', driver });
  }
  put('prices', { id: 'price', product: 'diesel', from: '2026-01-01', price: 42_500 });
  return fleet;
}
