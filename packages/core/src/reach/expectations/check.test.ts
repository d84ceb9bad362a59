import type { Edit, Expectation, Fleet } from '@fillwright/core/fleet';
import { formatDate, parseDate } from '@fillwright/core/units';
import { describe, expect, it } from 'vitest';
import { checked, DIESEL_HOSE, otherSite, TODAY, verdictOn, wish } from '../../../test/checked.ts';
import { gal, put, remove, set, yard } from '../../../test/yard.ts';

describe('what an expectation needs (SPEC E9)', () => {
  const unread = (field: string, why: string) => ({ verdict: 'unread', field, why });

  it('is that whom and what it names is in the fleet', () => {
    for (const who of ['driver', 'vehicle', 'costCentre', 'department', 'nobodyBut', 'nobodyButDriver'] as const)
      expect(verdictOn({ who, whoName: 'gone' }), who).toEqual(unread('whoName', 'not-there'));
    for (const who of ['nobodyButVehicle', 'nobodyButCostCentre'] as const)
      expect(verdictOn({ who, whoName: 'gone' }), who).toEqual(unread('whoName', 'not-there'));
    expect(verdictOn({ product: 'gone' })).toEqual(unread('product', 'not-there'));
    expect(verdictOn({ site: 'gone' })).toEqual(unread('site', 'not-there'));
    expect(verdictOn({ hose: 'gone' })).toEqual(unread('hose', 'not-there'));
    // Where a department is not said, nobody is of it.
    const loose = yard(set('drivers', 'd-1', { department: '' }));
    expect(verdictOn({ who: 'department', whoName: '' }, loose)).toEqual(unread('whoName', 'not-there'));
    expect(verdictOn({ who: 'department', whoName: '  ' }, loose)).toEqual(unread('whoName', 'not-there'));
  });

  it('is somebody and a hose that it speaks of, where each one can', () => {
    const away = yard(set('drivers', 'd-1', { active: false }), set('vehicles', 'v-1', { active: false }));
    expect(verdictOn({}, away)).toEqual(unread('who', 'nobody'));
    expect(verdictOn({ who: 'department', whoName: 'Haulage' }, away)).toEqual(unread('whoName', 'nobody'));
    expect(verdictOn({ who: 'costCentre', whoName: 'haulage' }, away)).toEqual(unread('whoName', 'nobody'));
    // One named is meant, in service or not.
    expect(verdictOn({ who: 'driver', whoName: 'd-1' }, away).verdict).toBe('broken');
    expect(verdictOn({ who: 'vehicle', whoName: 'v-1' }, away).verdict).toBe('broken');
    // A cost centre of which nobody is, whatever it is called.
    const odd = yard(put('costCentres', { id: 'null', name: 'None' }), set('drivers', 'd-1', { costCentre: null }));
    expect(verdictOn({ who: 'costCentre', whoName: 'null' }, odd)).toEqual(unread('whoName', 'nobody'));
    const empty = yard(put('costCentres', { id: 'office', name: 'Office' }));
    expect(verdictOn({ who: 'costCentre', whoName: 'office' }, empty)).toEqual(unread('whoName', 'nobody'));
    // 'Everyone' is people: a fleet of vehicles alone has none.
    expect(verdictOn({}, yard(set('drivers', 'd-1', { active: false })))).toEqual(unread('who', 'nobody'));
    expect(verdictOn({ hose: 'hose-1', product: 'petrol' })).toEqual(unread('hose', 'no-hose'));
    const dry = yard(put('products', { id: 'additive', name: 'Additive' }));
    expect(verdictOn({ product: 'additive' }, dry)).toEqual(unread('product', 'no-hose'));
    const elsewhere = yard(put('sites', { id: 'south', name: 'South yard', zone: 'UTC' }));
    expect(verdictOn({ hose: 'hose-1', site: 'south' }, elsewhere)).toEqual(unread('hose', 'no-hose'));
    expect(verdictOn({ site: 'south' }, elsewhere)).toEqual(unread('product', 'no-hose'));
    // What nobody can draw there, nobody can ever draw.
    expect(verdictOn({ must: 'never', product: 'additive' }, dry)).toEqual({ verdict: 'holds' });
    expect(verdictOn({ must: 'never', site: 'south' }, elsewhere)).toEqual({ verdict: 'holds' });
  });

  it('is a quantity that says something', () => {
    const missing = unread('quantity', 'no-quantity');
    expect(verdictOn({ must: 'atLeast' })).toEqual(missing);
    expect(verdictOn({ must: 'atLeast', quantity: 0 })).toEqual(missing);
    expect(verdictOn({ must: 'atMost' })).toEqual(missing);
    expect(verdictOn({ must: 'atMost', quantity: 0 }).verdict).toBe('broken');
    expect(verdictOn({ must: 'can' }).verdict).toBe('holds');
  });

  it('is dates in their order, and times with a minute', () => {
    const date = (n: number) => formatDate(TODAY + n);
    expect(verdictOn({ from: date(5), until: date(4) })).toEqual(unread('until', 'dates'));
    expect(verdictOn({ from: date(5), until: date(5) }).verdict).toBe('holds');
    const never = { days: [], from: 0, to: 600 };
    expect(verdictOn({ times: [] })).toEqual(unread('times', 'times'));
    expect(verdictOn({ times: [never] })).toEqual(unread('times', 'times'));
    expect(verdictOn({ times: [never, { days: [0], from: 0, to: 60 }] }).verdict).toBe('holds');
  });

  it('is that nobody but goes with what can be', () => {
    for (const must of ['never', 'atMost'] as const)
      expect(verdictOn({ who: 'nobodyBut', whoName: 'Haulage', must, quantity: gal(1) })).toEqual(
        unread('must', 'nobody-but'),
      );
  });
});

describe('an expectation', () => {
  it('compares departments without regard to case and spaces (SPEC E4)', () => {
    const fleet = yard(
      set('sites', 'north', { identify: 'driver' }),
      set('drivers', 'd-1', { department: 'Road  works' }),
    );
    const times = [{ days: [0], from: 420, to: 480 }];
    const can = (whoName: string) => verdictOn({ who: 'department', whoName, product: 'diesel', times }, fleet).verdict;
    expect(can(' ROAD works ')).toBe('holds');
    expect(can('Roadworks')).toBe('unread');
    const only = (whoName: string) => verdictOn({ who: 'nobodyBut', whoName, product: 'diesel' }, fleet).verdict;
    expect(only('road Works')).toBe('holds');
    expect(only('Haulage')).toBe('broken');
  });

  it('is looked at for 90 days from the day of the check (SPEC E1)', () => {
    const from = (n: number) => verdictOn({ from: formatDate(TODAY + n) }).verdict;
    const until = (n: number) => verdictOn({ until: formatDate(TODAY + n) }).verdict;
    expect([from(89), from(90), until(0), until(-1)]).toEqual(['holds', 'idle', 'holds', 'idle']);
    // What changes on the day after is not looked at.
    const closing = (n: number) => yard(set('sites', 'north', { closed: [formatDate(TODAY + n)] }));
    expect([89, 90].map((n) => verdictOn({}, closing(n)).verdict)).toEqual(['broken', 'holds']);
    // And no longer than the table.
    expect(verdictOn({ from: formatDate(TODAY + 9) }, yard(), 10).verdict).toBe('holds');
    expect(verdictOn({ from: formatDate(TODAY + 10) }, yard(), 10).verdict).toBe('idle');
    // A Sunday that is not among the days that are left.
    const sunday = [{ days: [6], from: 0, to: 60 }];
    const week = (to: number) => verdictOn({ times: sunday, until: formatDate(TODAY + to) }).verdict;
    expect([week(5), week(6)]).toEqual(['idle', 'holds']);
  });

  it('speaks of the days of its own dates alone', () => {
    const closed = [formatDate(TODAY + 3)];
    const fleet = yard(set('sites', 'north', { closed }), set('allowances', 'pool', { times: null }));
    const petrol = (from: number | null, until: number | null) => {
      const date = (n: number | null) => (n === null ? null : formatDate(TODAY + n));
      return verdictOn({ product: 'petrol', from: date(from), until: date(until) }, fleet).verdict;
    };
    expect([petrol(null, 2), petrol(null, 3), petrol(0, 2), petrol(3, 3), petrol(4, null), petrol(3, null)]).toEqual([
      'holds',
      'broken',
      'holds',
      'broken',
      'holds',
      'broken',
    ]);
  });

  it('is served at each of its minutes at any of its hoses (SPEC E7)', () => {
    const date = (n: number) => formatDate(TODAY + n);
    const south = (closed: string[]) => otherSite('south', 'petrol', { closed });
    const petrol = { who: 'driver', whoName: 'd-1', product: 'petrol' } as const;
    // Closed in turn the other one serves, whether somebody else's list tells the two apart or not.
    for (const sites of [null, ['north']]) {
      const apart = [
        put('drivers', { id: 'd-2', name: 'Isa Fenn', sites }),
        put('credentials', { id: 'k-2', number: '82', driver: 'd-2' }),
      ];
      const closed = (north: string[], there: string[]) =>
        verdictOn(petrol, yard(set('sites', 'north', { closed: north }), ...south(there), ...apart)).verdict;
      expect(closed([date(1)], [date(2)])).toBe('holds');
      expect(closed([date(2)], [date(1)])).toBe('holds');
      expect(closed([date(2)], [date(2)])).toBe('broken');
    }
    // Sites that somebody's own list or an allowance tells apart are told apart.
    const at = (site: string, ...edits: readonly Edit[]) =>
      verdictOn({ ...petrol, site }, yard(...south([]), ...edits)).verdict;
    for (const [table, ids] of [
      ['drivers', ['d-1']],
      ['allowances', ['pool', 'vans']],
    ] as const)
      for (const own of ['north', 'south'])
        for (const site of ['north', 'south'])
          expect(at(site, ...ids.map((id) => set(table, id, { sites: [own] })))).toBe(
            site === own ? 'holds' : 'broken',
          );
  });

  it('is of two whom one card names, on its days and as both alone', () => {
    const only = [remove('credentials', 'c-1'), set('credentials', 'c-2', { driver: 'd-1' })];
    const other = [
      put('drivers', { id: 'd-2', name: 'Isa Fenn', allowances: ['pool'], department: 'Streets' }),
      put('vehicles', { id: 'v-2', name: 'Van 2', allowances: ['vans'], department: 'Streets' }),
    ];
    const fleet = yard(...only, ...other);
    const petrol = (fields: Partial<Expectation>, of = fleet) => verdictOn({ product: 'petrol', ...fields }, of);
    const d1 = { who: 'driver', whoName: 'd-1' } as const;
    const v1 = { who: 'vehicle', whoName: 'v-1' } as const;
    expect([petrol(d1), petrol(v1)]).toEqual([{ verdict: 'holds' }, { verdict: 'holds' }]);
    // Those who have no card at all.
    for (const [who, whoName] of [
      ['driver', 'd-2'],
      ['vehicle', 'v-2'],
    ] as const) {
      expect(petrol({ who, whoName }).verdict).toBe('broken');
      expect(petrol({ who, whoName, must: 'never' })).toEqual({ verdict: 'holds' });
    }
    const both = { verdict: 'broken', counterexample: { driver: 'd-1', vehicle: 'v-1', limit: gal(50) } };
    for (const who of [d1, v1, { who: 'department', whoName: 'Haulage' }, { who: 'everyone' }] as const)
      expect(petrol({ ...who, must: 'never' })).toMatchObject(both);
    for (const who of ['nobodyBut', 'nobodyButDriver', 'nobodyButVehicle'] as const) {
      const [own, others] = {
        nobodyBut: ['Haulage', 'Streets'],
        nobodyButDriver: ['d-1', 'd-2'],
        nobodyButVehicle: ['v-1', 'v-2'],
      }[who] as [string, string];
      expect(petrol({ who, whoName: own }), who).toEqual({ verdict: 'holds' });
      expect(petrol({ who, whoName: others }), who).toMatchObject(both);
    }
    // One of them brings an allowance, or neither.
    for (const table of ['drivers', 'vehicles'] as const) {
      const id = table === 'drivers' ? 'd-1' : 'v-1';
      const silent = set(table, id, { allowances: [] });
      expect(petrol(d1, yard(...only, silent))).toEqual({ verdict: 'holds' });
      expect(petrol({ ...d1, must: 'never' }, yard(...only, silent)).verdict).toBe('broken');
    }
    const neither = [set('drivers', 'd-1', { allowances: [] }), set('vehicles', 'v-1', { allowances: [] })];
    expect(petrol({ ...d1, must: 'never' }, yard(...only, ...neither))).toEqual({ verdict: 'holds' });
    const until = set('credentials', 'c-2', { validUntil: formatDate(TODAY + 9) });
    const by = (n: number) => petrol({ ...d1, until: formatDate(TODAY + n) }, yard(...only, until)).verdict;
    expect([by(9), by(10)]).toEqual(['holds', 'broken']);
  });

  it('is of whoever else draws, though they hold what those named hold (SPEC E6)', () => {
    const night = put('allowances', { id: 'night', name: 'Night', products: ['diesel'] });
    const second = (allowances: string[]) => [
      put('drivers', { id: 'd-2', name: 'Isa Fenn', allowances }),
      put('credentials', { id: 'k-2', number: '82', driver: 'd-2' }),
    ];
    const but = (whoName: string, ...edits: readonly Edit[]) =>
      verdictOn({ who: 'nobodyButDriver', whoName, product: 'petrol' }, yard(night, ...edits));
    const drawn = (driver: string) => ({ verdict: 'broken', counterexample: { driver, limit: gal(50) } });
    for (const allowances of [['day-crew', 'pool'], ['pool', 'night'], ['pool']]) {
      expect(but('d-1', ...second(allowances)), allowances.join()).toMatchObject(drawn('d-2'));
      expect(but('d-2', ...second(allowances)), allowances.join()).toMatchObject(drawn('d-1'));
    }
    expect(but('d-1', ...second(['night']))).toEqual({ verdict: 'holds' });
  });

  it('shows two of whom one at least brings an allowance', () => {
    // The first of each side holds none.
    const people = [
      set('drivers', 'd-1', { allowances: [] }),
      set('vehicles', 'v-1', { allowances: [] }),
      put('drivers', { id: 'd-2', name: 'Isa Fenn', allowances: ['pool'] }),
      put('credentials', { id: 'k-2', number: '82', driver: 'd-2' }),
      put('vehicles', { id: 'v-2', name: 'Van 2', allowances: ['vans'] }),
      put('credentials', { id: 'm-2', number: '92', vehicle: 'v-2' }),
    ];
    const shown = (...edits: readonly Edit[]) => {
      const got = verdictOn({ must: 'never', product: 'petrol' }, yard(...people, ...edits));
      if (got.verdict !== 'broken') return got.verdict;
      const { driver, vehicle, limit } = got.counterexample;
      return [driver, vehicle, limit > 0];
    };
    expect(shown()).toEqual(['d-2', 'v-2', true]);
    expect(shown(remove('credentials', 'k-2'))).toEqual(['d-1', 'v-2', true]);
    expect(shown(remove('credentials', 'm-2'))).toEqual(['d-2', 'v-1', true]);
  });

  it('is of the hoses of its product, its site and its hose alone (SPEC E3)', () => {
    const pool = set('drivers', 'd-1', { allowances: ['pool'] });
    const silent = set('vehicles', 'v-1', { allowances: [] });
    const never = (fields: Partial<Expectation>) =>
      verdictOn({ who: 'driver', whoName: 'd-1', must: 'never', ...fields }, yard(pool, silent)).verdict;
    expect(never({ product: 'petrol' })).toBe('broken');
    expect(never({ product: 'diesel' })).toBe('holds');
    expect(never({ site: 'north' })).toBe('broken');
    expect(never({ site: 'north', product: 'petrol' })).toBe('broken');
    expect(never({ site: 'north', product: 'diesel' })).toBe('holds');
    expect(never({ hose: 'hose-2' })).toBe('broken');
    expect(never({ hose: 'hose-1' })).toBe('holds');
  });

  it('needs whom a site asks for (SPEC D10)', () => {
    const alone = (kind: 'drivers' | 'vehicles', identify: string) => {
      const gone = kind === 'drivers' ? [remove('vehicles', 'v-1')] : [remove('drivers', 'd-1')];
      const card = kind === 'drivers' ? remove('credentials', 'c-2') : remove('credentials', 'c-1');
      const fleet = yard(card, ...gone, set('sites', 'north', { identify }));
      const who = kind === 'drivers' ? { who: 'driver', whoName: 'd-1' } : { who: 'vehicle', whoName: 'v-1' };
      return verdictOn({ ...(who as Partial<Expectation>), product: 'petrol' }, fleet).verdict;
    };
    const asked = ['driver', 'vehicle', 'either', 'both'];
    expect(asked.map((identify) => alone('drivers', identify))).toEqual(['holds', 'broken', 'holds', 'broken']);
    expect(asked.map((identify) => alone('vehicles', identify))).toEqual(['broken', 'holds', 'holds', 'broken']);
  });

  it('is as much as a tank holds, a hose gives and an allowance lets through, to the microlitre', () => {
    const lorry = { who: 'vehicle', whoName: 'v-1', product: 'petrol' } as const;
    const least = (quantity: number, fleet: Fleet) => verdictOn({ ...lorry, must: 'atLeast', quantity }, fleet).verdict;
    const most = (quantity: number, fleet: Fleet) => verdictOn({ ...lorry, must: 'atMost', quantity }, fleet).verdict;
    const unbound = set('allowances', 'vans', { perFill: null });
    for (const fleet of [
      yard(unbound),
      yard(set('vehicles', 'v-1', { capacity: null })),
      yard(unbound, set('vehicles', 'v-1', { capacity: null }), set('hoses', 'hose-2', { mostPerFill: gal(50) })),
    ]) {
      expect([least(gal(50), fleet), least(gal(50) + 1, fleet)]).toEqual(['holds', 'broken']);
      expect([most(gal(50), fleet), most(gal(50) - 1, fleet)]).toEqual(['holds', 'broken']);
    }
  });

  it('lets nobody through who is asked what no answer satisfies', () => {
    const riddle = put('questions', { id: 'riddle', prompt: 'Well?', kind: 'text', accepted: [] });
    const asked = (table: 'drivers' | 'vehicles' | 'sites', id: string) =>
      yard(riddle, set(table, id, { questions: ['riddle'] }));
    const both = { who: 'driver', whoName: 'd-1', product: 'petrol' } as const;
    for (const fleet of [asked('drivers', 'd-1'), asked('vehicles', 'v-1'), asked('sites', 'north')]) {
      expect(verdictOn({ must: 'never' }, fleet)).toEqual({ verdict: 'holds' });
      expect(verdictOn(both, fleet)).toMatchObject({ verdict: 'broken', counterexample: { limit: 0 } });
    }
  });

  it('names five of those for whom it is false, in the order of the fleet', () => {
    const names = ['d-9', 'd-3', 'd-7', 'd-2', 'd-8', 'd-4', 'd-6', 'd-5'];
    // They are of two classes, one after the other.
    const more = [put('allowances', { id: 'pool-2', name: 'More petrol', products: ['petrol'] })];
    more.push(
      ...names.map((id, n) =>
        put('drivers', { id, name: id, allowances: [n % 2 === 0 ? 'pool' : 'pool-2'], department: 'Crew' }),
      ),
    );
    const cards = names.map((id, n) => put('credentials', { id: `k${n}`, number: `8000${n}`, driver: id }));
    const got = verdictOn({ who: 'department', whoName: 'crew', product: 'diesel' }, yard(...more, ...cards));
    expect(got).toMatchObject({ verdict: 'broken', failing: { count: 8, of: 8, ids: names.slice(0, 5) } });
    expect(got).toMatchObject({ counterexample: { driver: 'd-9' } });
    const one = verdictOn({ who: 'driver', whoName: 'd-7', product: 'diesel' }, yard(...more, ...cards));
    expect(one).toMatchObject({ verdict: 'broken', failing: null, counterexample: { driver: 'd-7' } });
  });

  it('tells every eight of them how far it is', () => {
    const rows = Array.from({ length: 17 }, (_, n) => wish({}, `e${n}`));
    const { told, verdicts } = checked(yard(), rows);
    expect(told).toEqual([0, 8, 16].map((done) => ({ done, of: 17 })));
    expect([...verdicts.keys()]).toEqual(rows.map((r) => r.id));
  });
});

describe('a minute that a clock skips (SPEC E2, E7)', () => {
  /** In America/Chicago the hour from 2 on 2027-03-14 is not there. */
  const SUNDAY = '2027-03-14';
  const night = (from: number, to: number) => [{ days: [6], from, to }];
  const check = (fields: Partial<Expectation>, fleet = yard()) => verdictOn(fields, fleet, 1, parseDate(SUNDAY));
  const cannot = { who: 'driver', whoName: 'd-1', product: 'diesel' } as const;
  const elsewhere = yard(
    put('sites', { id: 'south', name: 'South yard', zone: 'UTC' }),
    ...['a', 'b'].map((id, n) => put('hoses', { ...DIESEL_HOSE, id, site: 'south', number: n + 1, channel: n + 1 })),
  );

  it('is none: neither served nor not', () => {
    expect(check({ ...cannot, times: night(120, 180) })).toEqual({ verdict: 'holds' });
    expect(check({ must: 'never', product: 'petrol', times: night(120, 180) })).toEqual({ verdict: 'holds' });
    // What comes after it is.
    const later = [...night(120, 180), ...night(300, 360)];
    expect(check({ ...cannot, times: later })).toMatchObject({ verdict: 'broken', counterexample: { minute: 300 } });
    expect(check({ must: 'never', product: 'petrol', times: later })).toMatchObject({
      verdict: 'broken',
      counterexample: { minute: 300 },
    });
    expect(check({ ...cannot, times: night(150, 200) })).toMatchObject({ counterexample: { minute: 180 } });
  });

  it('is one at a hose whose clock shows it', () => {
    for (const fleet of [elsewhere, { ...elsewhere, hoses: new Map([...elsewhere.hoses].reverse()) }]) {
      const got = check({ ...cannot, times: night(150, 200) }, fleet);
      expect(got).toMatchObject({ verdict: 'broken', counterexample: { site: 'south', minute: 150 } });
    }
  });
});
