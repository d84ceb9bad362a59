import { Book, LiveDifference, sitePair } from '@fillwright/core/reach';
import { describe, expect, it } from 'vitest';
import { last } from '../../../../packages/core/test/edited.ts';
import { fleetWith, GAL, type Rows, tableOf } from '../testing/fleet-with.ts';
import { behindOf, comparedOf } from './compared.ts';
import type { Within } from './message.ts';

const BASE = {
  sites: [
    { id: 'north', name: 'North yard', zone: 'UTC', identify: 'driver' },
    { id: 'south', name: 'South yard', zone: 'UTC', identify: 'driver' },
  ],
  products: [
    { id: 'diesel', name: 'Diesel' },
    { id: 'def', name: 'Exhaust fluid' },
  ],
  hoses: [
    { id: 'n1', number: 1, site: 'north', product: 'diesel', mostPerFill: 100 * GAL },
    { id: 'n2', number: 2, site: 'north', product: 'diesel', mostPerFill: 30 * GAL },
    { id: 's1', number: 1, site: 'south', product: 'diesel', mostPerFill: 20 * GAL },
    { id: 's2', number: 2, site: 'south', product: 'def', mostPerFill: 20 * GAL },
  ],
  allowances: [{ id: 'crew', name: 'Day crew', products: ['diesel', 'def'], perFill: 40 * GAL, times: null }],
  drivers: [
    { id: 'ana', name: 'Ana Voss', allowances: ['crew'], department: 'Roads' },
    { id: 'ben', name: 'Ben Ode', allowances: ['crew'], department: 'Parks' },
  ],
  credentials: [
    { id: 'c1', number: '1001', driver: 'ana' },
    { id: 'c2', number: '1002', driver: 'ben' },
  ],
} satisfies Rows;

const ALL: Within = { driver: null, vehicle: null, department: null, site: null, product: null };
describe('a comparison in words', () => {
  const book = new Book();
  const stopped = { ...BASE, credentials: BASE.credentials.slice(1) };
  const live = last(LiveDifference.begin(tableOf(fleetWith(BASE), book), tableOf(fleetWith(stopped), book)));
  const within = (part: Partial<Within>) => last(comparedOf(live, { ...ALL, ...part }, 1, null));

  it('names for whom nothing changes, and where it does', () => {
    const all = within({});
    expect(all.unchanged).toEqual({ drivers: 'Ben Ode', vehicles: '' });
    expect(all.told.lines.every((l) => l.kind === 'lost')).toBe(true);
    const minutes = 365 * 1440;
    expect(all.sites).toEqual([
      { site: 'north', name: 'North yard', gained: 0, lost: 2 * minutes, raised: 0, lowered: 0 },
      { site: 'south', name: 'South yard', gained: 0, lost: 2 * minutes, raised: 0, lowered: 0 },
    ]);
    expect(all.weeks.map((w) => w.product).sort()).toEqual(['Diesel', 'Exhaust fluid']);
  });
  it('speaks of those asked about alone', () => {
    expect(within({ driver: 'ben' })).toMatchObject({ told: { lines: [] }, unchanged: { drivers: 'Ben Ode' } });
    expect(within({ department: 'Roads' })).toMatchObject({ unchanged: { drivers: '' } });
    expect(within({ site: 'south', product: 'def' }).sites.map((s) => s.site)).toEqual(['south']);
  });
});

it('sets a site against another: what one has alone, what one gives more of, tried where it is', () => {
  const table = tableOf(fleetWith(BASE));
  const pair = sitePair(table, 'north', 'south');
  const live = last(LiveDifference.begin(pair.before, pair.after));
  const { told, sites, weeks } = last(comparedOf(live, ALL, null, pair));
  expect(sites).toEqual([]);
  expect(weeks).toHaveLength(2);
  const lines = told.lines.map((l) => [l.kind, l.product, l.before, l.after, l.bench.site, l.bench.hose]);
  expect(lines).toEqual(
    expect.arrayContaining([
      ['gained', 'Exhaust fluid', 'nothing', '20 gal', 'south', 's2'],
      ['lowered', 'Diesel', '40 gal', '20 gal', 'north', 'n1'],
    ]),
  );
  expect(lines).toHaveLength(2);
});

it('names who is behind one stretch of the week, and everybody of them where the line does not', () => {
  const people = ['ana', 'ben', 'cle', 'dov', 'eda'];
  const rows = (from: number) =>
    fleetWith({
      ...BASE,
      allowances: [
        {
          id: 'crew',
          name: 'Day crew',
          products: ['diesel', 'def'],
          perFill: 40 * GAL,
          times: [{ days: [0, 1, 2, 3, 4], from, to: 1080 }],
        },
      ],
      drivers: people.map((id) => ({ id, name: `${id} Voss`, allowances: ['crew'], department: 'Roads' })),
      credentials: people.map((id, n) => ({ id: `c${n}`, number: `100${n}`, driver: id })),
    });
  const book = new Book();
  const live = last(LiveDifference.begin(tableOf(rows(480), book), tableOf(rows(360), book)));
  const within = { ...ALL, product: 'def' };
  const at = (from: number, to: number) => last(behindOf(live, { within, span: { from, to } }, 1, null));
  const [line, ...others] = at(360, 480).lines;
  expect(others).toEqual([]);
  expect(line).toMatchObject({ kind: 'gained', before: 'nothing', after: '20 gal', bench: { card: '1000' } });
  expect(line?.who[0]).toBe('ana Voss, ben Voss and 3 more, without a vehicle');
  expect(line?.all).toBe('ana Voss, ben Voss, cle Voss, dov Voss, eda Voss');
  // 53 Mondays or 52 of them in a year, two hours each, five people.
  expect([52n, 53n].map((weeks) => weeks * 120n * 5n)).toContain(line?.points);
  expect(at(480, 1080).lines).toEqual([]);
});
