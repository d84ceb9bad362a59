import { compile, LEAST_USEFUL } from '@fillwright/core/decide';
import type { Edit } from '@fillwright/core/fleet';
import { type About, type AccessStatement, accessStatement, reachTable, timesWords } from '@fillwright/core/reach';
import { formatDate, formatLimit, parseDate, zoneTable } from '@fillwright/core/units';
import { describe, expect, it } from 'vitest';
import { DIESEL_HOSE } from '../../test/checked.ts';
import { last } from '../../test/edited.ts';
import { gal, put, remove, set, yard } from '../../test/yard.ts';

/** A Monday. */
const TODAY = parseDate('2026-11-30') as number;
const DAYS = 14;
const date = (n: number) => formatDate(TODAY + n);

function statement(about: About, ...edits: readonly Edit[]): AccessStatement {
  const policy = compile(yard(...edits), (zone) => zoneTable(zone, 2026, 2028));
  return last(accessStatement(reachTable(policy, [TODAY, TODAY + DAYS - 1]), about));
}

const NORTH: About = { kind: 'site', id: 'north' };

/** The rows of the first site, as a person would read them. */
const rows = (s: AccessStatement) =>
  (s.sites[0]?.rows ?? []).map((r) => {
    const who = r.pair
      ? `${r.pair.join(' with ')} (one card)`
      : [r.drivers?.label, r.vehicles?.label].filter(Boolean).join(' with ');
    const days = r.days.map((d) => d - TODAY).join();
    const why = `${r.reason.rule} ${r.reason.allowance ?? ''}`.trim();
    return `${who}: ${r.hoses.join()} ${r.product} ${formatLimit(r.room, 'gal')} ${why}, ${timesWords(r.times)}, days ${days}`;
  });

const hose = (id: string, number: number, more = {}) =>
  put('hoses', { ...DIESEL_HOSE, id, site: 'north', number, channel: number, ...more });

describe('an access statement', () => {
  it('has a row for each that may be drawn, with the rule that sets the limit', () => {
    expect(rows(statement(NORTH))).toEqual([
      'D1 with V1: hose-1 diesel 40 per-fill day-crew, Mon to Fri 06:00 to 18:00, days 0,13',
      'D1 with V1: hose-2 petrol 50 per-fill vans, the whole week, days 0,13',
    ]);
    const either = set('sites', 'north', { identify: 'either' });
    expect(rows(statement(NORTH, either)).slice(0, 4)).toEqual([
      'D1: hose-1 diesel 40 per-fill day-crew, Mon to Fri 06:00 to 18:00, days 0,13',
      'D1: hose-2 petrol 60 hose-most, the whole week, days 0,13',
      `V1: hose-1 diesel 50 per-fill vans, the whole week, days 0,13`,
      'V1: hose-2 petrol 50 per-fill vans, the whole week, days 0,13',
    ]);
  });

  it('tells rooms of different hours apart, and hoses that say the same together', () => {
    const night = put('allowances', {
      id: 'night',
      name: 'Night',
      products: ['diesel'],
      perFill: gal(10),
      times: [{ days: [0, 1, 2, 3, 4], from: 300, to: 420 }],
    });
    const both = set('drivers', 'd-1', { allowances: ['day-crew', 'night'] });
    const more = [
      hose('hose-3', 3),
      hose('hose-4', 4, { mostPerFill: gal(45) }),
      hose('hose-5', 5, { mostPerFill: gal(20) }),
    ];
    expect(rows(statement(NORTH, night, both, ...more))).toEqual([
      'D1 with V1: hose-1,hose-3,hose-4,hose-5 diesel 10 per-fill night, Mon to Fri 05:00 to 06:00, days 0,13',
      'D1 with V1: hose-1,hose-3,hose-4 diesel 40 per-fill day-crew, Mon to Fri 06:00 to 18:00, days 0,13',
      'D1 with V1: hose-5 diesel 20 hose-most, Mon to Fri 06:00 to 18:00, days 0,13',
    ]);
  });

  it('is of the days on which they come and the site is open, and of no times that fall on none', () => {
    const closed = set('sites', 'north', { closed: [date(2), date(20)] });
    const until = set('credentials', 'c-1', { validUntil: date(5) });
    expect(rows(statement(NORTH, closed, until))).toEqual([
      'D1 with V1: hose-1 diesel 40 per-fill day-crew, Mon to Fri 06:00 to 18:00, days 0,1,3,5',
      'D1 with V1: hose-2 petrol 50 per-fill vans, the whole week, days 0,1,3,5',
    ]);
    const weekend = [set('credentials', 'c-1', { validFrom: date(5), validUntil: date(6) })];
    expect(rows(statement(NORTH, ...weekend))).toEqual([
      'D1 with V1: hose-2 petrol 50 per-fill vans, the whole week, days 5,6',
    ]);
    // To the minute: what begins as the last day ends is on none of its days.
    const sunday = set('allowances', 'vans', { times: [{ days: [0], from: 0, to: 360 }] });
    expect(
      rows(statement(NORTH, sunday, set('credentials', 'c-1', { validFrom: date(6), validUntil: date(6) }))),
    ).toEqual([]);
    expect(
      rows(statement(NORTH, sunday, set('credentials', 'c-1', { validFrom: date(7), validUntil: date(7) }))),
    ).toEqual(['D1 with V1: hose-2 petrol 50 per-fill vans, Mon 00:00 to 06:00, days 7,7']);
    const only = (n: number) => set('credentials', 'c-1', { validFrom: date(n), validUntil: date(n) });
    const early = set('allowances', 'vans', { times: [{ days: [1], from: 0, to: 360 }] });
    expect([0, 1].map((n) => rows(statement(NORTH, early, only(n))).length)).toEqual([0, 1]);
    const evening = set('allowances', 'vans', { times: [{ days: [0], from: 1080, to: 0 }] });
    expect([0, 1].map((n) => rows(statement(NORTH, evening, only(n))).length)).toEqual([1, 0]);
    const late = set('allowances', 'vans', { times: [{ days: [6], from: 1080, to: 0 }] });
    expect(
      rows(statement(NORTH, late, set('credentials', 'c-1', { validFrom: date(7), validUntil: date(7) }))),
    ).toEqual([]);
  });

  it('groups those who meet every hose alike on the same days, whatever their tanks hold', () => {
    const people = [
      put('drivers', { id: 'd-2', name: 'Isa Fenn', allowances: ['day-crew', 'pool'] }),
      put('drivers', { id: 'd-3', name: 'Orla Pike', allowances: ['pool'] }),
      put('drivers', { id: 'd-4', name: 'Jon Marl', allowances: ['day-crew', 'pool'] }),
      put('vehicles', { id: 'v-2', name: 'Van 2', allowances: ['vans'], capacity: gal(20) }),
      put('vehicles', { id: 'v-3', name: 'Van 3', allowances: ['vans'], capacity: null }),
      // Smaller than what is of use.
      put('vehicles', { id: 'v-4', name: 'Toy', allowances: ['vans'], capacity: 90_000 }),
    ];
    const cards = [
      ...['d-2', 'd-3', 'd-4'].map((driver, n) => put('credentials', { id: `k-${n}`, number: `8${n}`, driver })),
      ...['v-2', 'v-3', 'v-4'].map((vehicle, n) => put('credentials', { id: `m-${n}`, number: `9${n}`, vehicle })),
      set('credentials', 'k-2', { validUntil: date(3) }),
    ];
    const [north] = statement(NORTH, ...people, ...cards).sites;
    const group = ({ label, ids, days }: { label: string; ids: readonly string[]; days: readonly number[] }) =>
      `${label}: ${ids.join()} on ${days.map((d) => d - TODAY).join()}`;
    expect(north?.drivers.map(group)).toEqual(['D1: d-1,d-2 on 0,13', 'D2: d-3 on 0,13', 'D3: d-4 on 0,3']);
    expect(north?.vehicles.map(group)).toEqual(['V1: v-1,v-2,v-3 on 0,13']);
    expect(Object.keys(north?.drivers[0] ?? {})).toEqual(['label', 'ids', 'days']);
    expect(rows(statement(NORTH, ...people, ...cards)).filter((r) => r.includes('petrol'))).toEqual([
      'D1 with V1: hose-2 petrol 50 per-fill vans, the whole week, days 0,13',
      'D2 with V1: hose-2 petrol 50 per-fill vans, the whole week, days 0,13',
      'D3 with V1: hose-2 petrol 50 per-fill vans, the whole week, days 0,3',
    ]);
  });

  it('has a pair that one card names by itself', () => {
    const only = [remove('credentials', 'c-1'), set('credentials', 'c-2', { driver: 'd-1', validUntil: date(3) })];
    const s = statement(NORTH, ...only);
    expect(rows(s)).toEqual([
      'd-1 with v-1 (one card): hose-1 diesel 40 per-fill day-crew, Mon to Fri 06:00 to 18:00, days 0,3',
      'd-1 with v-1 (one card): hose-2 petrol 50 per-fill vans, the whole week, days 0,3',
    ]);
    expect([s.sites[0]?.drivers, s.sites[0]?.vehicles, s.sites[0]?.never]).toEqual([[], [], []]);
    expect(s.sites[0]?.rows.map((r) => [r.drivers, r.vehicles])).toEqual([
      [null, null],
      [null, null],
    ]);
    for (const about of [
      { kind: 'driver', id: 'd-1' },
      { kind: 'vehicle', id: 'v-1' },
    ] as const)
      expect(rows(statement(about, ...only))).toEqual(rows(s));
    const other = put('drivers', { id: 'd-2', name: 'Isa Fenn', allowances: ['pool'] });
    expect(statement({ kind: 'driver', id: 'd-2' }, ...only, other).sites).toEqual([]);
  });
});

describe('the groups of an access statement', () => {
  const isa = [
    put('drivers', { id: 'd-2', name: 'Isa Fenn', allowances: ['day-crew', 'pool'] }),
    put('credentials', { id: 'k-2', number: '82', driver: 'd-2' }),
    put('vehicles', { id: 'v-2', name: 'Van 2', allowances: ['vans'] }),
    put('credentials', { id: 'm-2', number: '92', vehicle: 'v-2' }),
  ];
  const told = (...edits: readonly Edit[]) => {
    const [north] = statement(NORTH, ...isa, ...edits).sites;
    return [...(north?.drivers ?? []), ...(north?.vehicles ?? [])].map((g) => `${g.label} ${g.ids.join()}`).join('; ');
  };

  it('are numbered without those who can never be let in', () => {
    const riddle = put('questions', { id: 'riddle', prompt: 'Well?', kind: 'text', accepted: [] });
    const wet = [
      put('products', { id: 'water', name: 'Water' }),
      put('allowances', { id: 'wet', name: 'Wet', products: ['water'] }),
    ];
    const south = put('sites', { id: 'south', name: 'South yard', zone: 'UTC' });
    for (const [table, id, rest] of [
      ['drivers', 'd-1', 'D1 d-2; V1 v-1,v-2'],
      ['vehicles', 'v-1', 'D1 d-1,d-2; V1 v-2'],
    ] as const) {
      expect(told(riddle, set(table, id, { questions: ['riddle'] }))).toBe(rest);
      expect(told(set(table, id, { validUntil: date(-1) }))).toBe(rest);
      expect(told(south, set(table, id, { sites: ['south'] }))).toBe(rest);
      expect(told(...wet, set(table, id, { allowances: ['wet'] }))).toBe(rest);
    }
    expect(told(set('vehicles', 'v-1', { capacity: LEAST_USEFUL - 1 }))).toBe('D1 d-1,d-2; V1 v-2');
    expect(told(set('vehicles', 'v-1', { capacity: LEAST_USEFUL }))).toBe('D1 d-1,d-2; V1 v-1,v-2');
  });

  it('have those whom the least that is of use is left', () => {
    const sip = put('allowances', { id: 'sip', name: 'Sip', products: ['petrol'], perFill: LEAST_USEFUL });
    const few = [sip, set('drivers', 'd-1', { allowances: ['sip'] })];
    expect(told(...few)).toBe('D1 d-1; D2 d-2; V1 v-1,v-2');
    expect(statement(NORTH, ...few).sites[0]?.rows.map((r) => [r.drivers?.label, r.room])).toEqual([
      ['D1', LEAST_USEFUL],
    ]);
  });
});

describe('whom an access statement is about', () => {
  const more = [
    put('sites', { id: 'south', name: 'South yard', zone: 'UTC' }),
    put('sites', { id: 'old', name: 'Old yard', zone: 'UTC', active: false }),
    put('drivers', { id: 'd-2', name: 'Isa Fenn', department: 'Streets', allowances: ['day-crew', 'pool'] }),
    put('credentials', { id: 'k-2', number: '82', driver: 'd-2' }),
    put('vehicles', { id: 'v-2', name: 'Van 2', department: 'Streets', allowances: ['vans'] }),
    put('credentials', { id: 'm-2', number: '92', vehicle: 'v-2' }),
    remove('hoses', 'hose-1'),
  ];
  const said = (about: About) => {
    const s = statement(about, ...more);
    const group = ({ label, ids }: { label: string; ids: readonly string[] }) => `${label} ${ids.join()}`;
    const told = s.sites.map((site) => `${site.site}: ${[...site.drivers, ...site.vehicles].map(group).join('; ')}`);
    return { told, rows: rows(s).map((r) => r.split(':')[0]), without: s.without, about: s.about };
  };

  it('stands apart from the others, who are said only as whom they come with', () => {
    expect(said(NORTH)).toEqual({
      told: ['north: D1 d-1,d-2; V1 v-1,v-2'],
      rows: ['D1 with V1'],
      without: [],
      about: NORTH,
    });
    const streets: About = { kind: 'department', name: 'Streets' };
    expect(said(streets)).toEqual({
      told: ['north: D1 d-1; D2 d-2; V1 v-1; V2 v-2'],
      rows: ['D1 with V2', 'D2 with V1', 'D2 with V2'],
      without: ['south'],
      about: streets,
    });
    expect(said({ kind: 'driver', id: 'd-2' })).toMatchObject({
      told: ['north: D2 d-2; V1 v-1,v-2'],
      rows: ['D2 with V1'],
    });
    expect(said({ kind: 'vehicle', id: 'v-1' })).toMatchObject({
      told: ['north: D1 d-1,d-2; V1 v-1'],
      rows: ['D1 with V1'],
    });
  });

  it('is a vehicle, though a driver has the same id', () => {
    const namesake = [
      put('drivers', { id: 'v-1', name: 'Odd One', allowances: ['pool'] }),
      put('credentials', { id: 'k-3', number: '83', driver: 'v-1' }),
    ];
    const s = statement({ kind: 'vehicle', id: 'v-1' }, ...namesake, set('sites', 'north', { identify: 'either' }));
    expect(s.sites[0]?.rows.every((r) => r.vehicles?.ids.includes('v-1'))).toBe(true);
    expect(s.sites[0]?.rows.length).toBeGreaterThan(0);
  });

  it('may draw nothing at a site, which is said of a site that was asked for, and else listed', () => {
    expect(statement({ kind: 'site', id: 'south' }, ...more)).toMatchObject({
      sites: [{ site: 'south', drivers: [], vehicles: [], rows: [] }],
      without: [],
      horizon: [TODAY, TODAY + DAYS - 1],
    });
    expect(statement({ kind: 'site', id: 'old' }, ...more)).toMatchObject({ sites: [], without: [] });
    expect(said({ kind: 'driver', id: 'gone' })).toMatchObject({ told: [], without: ['north', 'south'] });
  });

  it('is told site by site', () => {
    const policy = compile(yard(...more), (zone) => zoneTable(zone, 2026, 2028));
    const table = reachTable(policy, [TODAY, TODAY]);
    const told = (about: About) => [...accessStatement(table, about)];
    expect(told({ kind: 'driver', id: 'd-1' })).toEqual([
      { done: 0, of: 2 },
      { done: 1, of: 2 },
    ]);
    expect(told(NORTH)).toEqual([{ done: 0, of: 1 }]);
  });
});

describe('who may never draw at a site', () => {
  const driver = (id: string, more: Record<string, unknown> = {}) => [
    put('drivers', { id, name: id, allowances: ['pool'], ...more }),
    put('credentials', { id: `k-${id}`, number: `n-${id}`, driver: id }),
  ];
  const never = (about: About, ...edits: readonly Edit[]) =>
    Object.fromEntries(
      (statement(about, ...edits).sites[0]?.never ?? []).map((n) => [n.why, [...n.drivers, ...n.vehicles]]),
    );
  const riddle = put('questions', { id: 'riddle', prompt: 'Well?', kind: 'text', accepted: [] });
  const south = put('sites', { id: 'south', name: 'South yard', zone: 'UTC' });
  const water = [
    put('products', { id: 'water', name: 'Water' }),
    put('allowances', { id: 'wet', name: 'Wet', products: ['water'] }),
  ];

  it('is told by reason', () => {
    expect(
      never(
        NORTH,
        riddle,
        south,
        ...water,
        ...driver('away', { active: false }),
        put('drivers', { id: 'bare', name: 'bare', allowances: ['pool'] }),
        ...driver('past', { validUntil: date(-1) }),
        ...driver('other', { sites: ['south'] }),
        ...driver('asked', { questions: ['riddle'] }),
        ...driver('dry', { allowances: ['wet'] }),
        put('vehicles', { id: 'truck', name: 'truck', active: false }),
        put('vehicles', { id: 'van', name: 'van', allowances: ['wet'] }),
        put('credentials', { id: 'k-van', number: 'n-van', vehicle: 'van' }),
      ),
    ).toEqual({
      'not active': ['away', 'truck'],
      'no credential': ['bare', 'past'],
      'not their site': ['other'],
      question: ['asked'],
      'no allowance here': ['dry', 'van'],
    });
  });

  it('is of those alone whom it is about', () => {
    const people = [...driver('one', { active: false, department: 'Crew' }), ...driver('two', { active: false })];
    const crew = [...driver('three', { department: 'Crew' }), ...people];
    expect(never({ kind: 'department', name: 'Crew' }, ...crew)).toEqual({ 'not active': ['one'] });
    expect(never(NORTH, ...crew)).toEqual({ 'not active': ['one', 'two'] });
  });

  it('is that a site asks for two and nobody fits, or that neither brings an allowance', () => {
    const lonely = [remove('vehicles', 'v-1'), remove('credentials', 'c-2')];
    expect(never(NORTH, ...lonely)).toEqual({ 'never together': ['d-1'] });
    const silent = set('drivers', 'd-1', { allowances: [] });
    expect(never(NORTH, ...lonely, silent)).toEqual({ 'never together': ['d-1'] });
    const one = (identify: string) => set('sites', 'north', { identify });
    expect(never(NORTH, ...lonely, silent, one('driver'))).toEqual({ 'no allowance here': ['d-1'] });
    expect(never(NORTH, ...lonely, silent, one('either'))).toEqual({ 'no allowance here': ['d-1'] });
    expect(never(NORTH, ...lonely, silent, one('vehicle'))).toEqual({ 'never together': ['d-1'] });
    // The same of vehicles.
    const noDriver = [
      remove('drivers', 'd-1'),
      remove('credentials', 'c-1'),
      set('vehicles', 'v-1', { allowances: [] }),
    ];
    expect(never(NORTH, ...noDriver, one('vehicle'))).toEqual({ 'no allowance here': ['v-1'] });
    expect(never(NORTH, ...noDriver, one('driver'))).toEqual({ 'never together': ['v-1'] });
    // One hose that an allowance covers is enough to be let in by, with whoever fits.
    expect(never(NORTH, ...lonely, set('drivers', 'd-1', { allowances: ['pool'] }))).toEqual({
      'never together': ['d-1'],
    });
  });

  it('is not that it is not their site, or that they bring nothing, where that is not so', () => {
    const alone = [remove('vehicles', 'v-1'), remove('credentials', 'c-2')];
    expect(never(NORTH, ...alone, set('drivers', 'd-1', { sites: ['north'] }))).toEqual({ 'never together': ['d-1'] });
    const sip = put('allowances', { id: 'sip', name: 'Sip', products: ['petrol', 'diesel'], perFill: LEAST_USEFUL });
    const little = [sip, set('drivers', 'd-1', { allowances: ['sip'] })];
    expect(never(NORTH, ...alone, ...little)).toEqual({ 'never together': ['d-1'] });
    // They may come alone, and their allowance has no minute on the one day that they do.
    const sunday = set('credentials', 'c-1', { validFrom: date(6), validUntil: date(6) });
    const crew = [set('sites', 'north', { identify: 'driver' }), set('drivers', 'd-1', { allowances: ['day-crew'] })];
    expect(never(NORTH, ...alone, ...crew, sunday)).toEqual({ 'no allowance here': ['d-1'] });
  });

  it('is that the site asks what no answer satisfies', () => {
    expect(never(NORTH, riddle, set('sites', 'north', { questions: ['riddle'] }))).toEqual({
      question: ['d-1', 'v-1'],
    });
  });

  it('is that the site has no hose', () => {
    expect(never({ kind: 'site', id: 'south' }, south)).toEqual({ 'never together': ['d-1', 'v-1'] });
  });
});
