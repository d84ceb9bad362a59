import { compile } from '@fillwright/core/decide';
import { type Edit, type Expectation, type Fleet, newRow } from '@fillwright/core/fleet';
import { checkExpectations, reachTable, type Verdict } from '@fillwright/core/reach';
import { formatDate, parseDate, zoneTable } from '@fillwright/core/units';
import { describe, expect, it } from 'vitest';
import { gal, put, remove, set, yard } from '../../../test/yard.ts';

/** A Monday. */
const TODAY = parseDate('2026-11-30') as number;

function check(fleet: Fleet, rows: readonly Expectation[], days = 400) {
  const policy = compile(fleet, (zone) => zoneTable(zone, 2025, 2029));
  const steps = checkExpectations(reachTable(policy, [TODAY, TODAY + days - 1]), rows);
  const told: { done: number; of: number }[] = [];
  for (;;) {
    const step = steps.next();
    if (step.done) return { verdicts: step.value, told };
    told.push(step.value);
  }
}

const row = (fields: Partial<Expectation>, id = 'e') =>
  newRow('expectations', { id, who: 'everyone', must: 'can', ...fields });

const verdict = (fields: Partial<Expectation>, fleet = yard(), days = 400): Verdict =>
  check(fleet, [row(fields)], days).verdicts.get('e') as Verdict;

describe('what an expectation needs (SPEC E9)', () => {
  const unread = (field: string, why: string) => ({ verdict: 'unread', field, why });

  it('is that whom and what it names is in the fleet', () => {
    for (const who of ['driver', 'vehicle', 'costCentre', 'department', 'nobodyBut', 'nobodyButDriver'] as const)
      expect(verdict({ who, whoName: 'gone' }), who).toEqual(unread('whoName', 'not-there'));
    for (const who of ['nobodyButVehicle', 'nobodyButCostCentre'] as const)
      expect(verdict({ who, whoName: 'gone' }), who).toEqual(unread('whoName', 'not-there'));
    expect(verdict({ product: 'gone' })).toEqual(unread('product', 'not-there'));
    expect(verdict({ site: 'gone' })).toEqual(unread('site', 'not-there'));
    expect(verdict({ hose: 'gone' })).toEqual(unread('hose', 'not-there'));
    // Where a department is not said, nobody is of it.
    const loose = yard(set('drivers', 'd-1', { department: '' }));
    expect(verdict({ who: 'department', whoName: '' }, loose)).toEqual(unread('whoName', 'not-there'));
    expect(verdict({ who: 'department', whoName: '  ' }, loose)).toEqual(unread('whoName', 'not-there'));
  });

  it('is somebody and a hose that it speaks of, where each one can', () => {
    const away = yard(set('drivers', 'd-1', { active: false }), set('vehicles', 'v-1', { active: false }));
    expect(verdict({}, away)).toEqual(unread('who', 'nobody'));
    expect(verdict({ who: 'department', whoName: 'Haulage' }, away)).toEqual(unread('whoName', 'nobody'));
    expect(verdict({ who: 'costCentre', whoName: 'haulage' }, away)).toEqual(unread('whoName', 'nobody'));
    // One named is meant, in service or not.
    expect(verdict({ who: 'driver', whoName: 'd-1' }, away).verdict).toBe('broken');
    expect(verdict({ who: 'vehicle', whoName: 'v-1' }, away).verdict).toBe('broken');
    // A cost centre of which nobody is.
    const empty = yard(put('costCentres', { id: 'office', name: 'Office' }));
    expect(verdict({ who: 'costCentre', whoName: 'office' }, empty)).toEqual(unread('whoName', 'nobody'));
    // 'Everyone' is people: a fleet of vehicles alone has none.
    expect(verdict({}, yard(set('drivers', 'd-1', { active: false })))).toEqual(unread('who', 'nobody'));
    expect(verdict({ hose: 'hose-1', product: 'petrol' })).toEqual(unread('hose', 'no-hose'));
    const dry = yard(put('products', { id: 'additive', name: 'Additive' }));
    expect(verdict({ product: 'additive' }, dry)).toEqual(unread('product', 'no-hose'));
    const elsewhere = yard(put('sites', { id: 'south', name: 'South yard', zone: 'UTC' }));
    expect(verdict({ hose: 'hose-1', site: 'south' }, elsewhere)).toEqual(unread('hose', 'no-hose'));
    expect(verdict({ site: 'south' }, elsewhere)).toEqual(unread('product', 'no-hose'));
    // What nobody can draw there, nobody can ever draw.
    expect(verdict({ must: 'never', product: 'additive' }, dry)).toEqual({ verdict: 'holds' });
    expect(verdict({ must: 'never', site: 'south' }, elsewhere)).toEqual({ verdict: 'holds' });
  });

  it('is a quantity that says something', () => {
    const missing = unread('quantity', 'no-quantity');
    expect(verdict({ must: 'atLeast' })).toEqual(missing);
    expect(verdict({ must: 'atLeast', quantity: 0 })).toEqual(missing);
    expect(verdict({ must: 'atMost' })).toEqual(missing);
    expect(verdict({ must: 'atMost', quantity: 0 }).verdict).toBe('broken');
    expect(verdict({ must: 'can' }).verdict).toBe('holds');
  });

  it('is dates in their order, and times with a minute', () => {
    const date = (n: number) => formatDate(TODAY + n);
    expect(verdict({ from: date(5), until: date(4) })).toEqual(unread('until', 'dates'));
    expect(verdict({ from: date(5), until: date(5) }).verdict).toBe('holds');
    const never = { days: [], from: 0, to: 600 };
    expect(verdict({ times: [] })).toEqual(unread('times', 'times'));
    expect(verdict({ times: [never] })).toEqual(unread('times', 'times'));
    expect(verdict({ times: [never, { days: [0], from: 0, to: 60 }] }).verdict).toBe('holds');
  });

  it('is that nobody but goes with what can be', () => {
    for (const must of ['never', 'atMost'] as const)
      expect(verdict({ who: 'nobodyBut', whoName: 'Haulage', must, quantity: gal(1) })).toEqual(
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
    const can = (whoName: string) => verdict({ who: 'department', whoName, product: 'diesel', times }, fleet).verdict;
    expect(can(' ROAD works ')).toBe('holds');
    expect(can('Roadworks')).toBe('unread');
    const only = (whoName: string) => verdict({ who: 'nobodyBut', whoName, product: 'diesel' }, fleet).verdict;
    expect(only('road Works')).toBe('holds');
    expect(only('Haulage')).toBe('broken');
  });

  it('is looked at for 90 days from the day of the check (SPEC E1)', () => {
    const from = (n: number) => verdict({ from: formatDate(TODAY + n) }).verdict;
    const until = (n: number) => verdict({ until: formatDate(TODAY + n) }).verdict;
    expect([from(89), from(90), until(0), until(-1)]).toEqual(['holds', 'idle', 'holds', 'idle']);
    // What changes on the day after is not looked at.
    const closing = (n: number) => yard(set('sites', 'north', { closed: [formatDate(TODAY + n)] }));
    expect([89, 90].map((n) => verdict({}, closing(n)).verdict)).toEqual(['broken', 'holds']);
    // And no longer than the table.
    expect(verdict({ from: formatDate(TODAY + 9) }, yard(), 10).verdict).toBe('holds');
    expect(verdict({ from: formatDate(TODAY + 10) }, yard(), 10).verdict).toBe('idle');
    // A Sunday that is not among the days that are left.
    const sunday = [{ days: [6], from: 0, to: 60 }];
    const week = (to: number) => verdict({ times: sunday, until: formatDate(TODAY + to) }).verdict;
    expect([week(5), week(6)]).toEqual(['idle', 'holds']);
  });

  it('speaks of the days of its own dates alone', () => {
    const closed = [formatDate(TODAY + 3)];
    const fleet = yard(set('sites', 'north', { closed }), set('allowances', 'pool', { times: null }));
    const petrol = (from: number | null, until: number | null) => {
      const date = (n: number | null) => (n === null ? null : formatDate(TODAY + n));
      return verdict({ product: 'petrol', from: date(from), until: date(until) }, fleet).verdict;
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
    const got = verdict({ who: 'department', whoName: 'crew', product: 'diesel' }, yard(...more, ...cards));
    expect(got).toMatchObject({ verdict: 'broken', failing: { count: 8, of: 8, ids: names.slice(0, 5) } });
    expect(got).toMatchObject({ counterexample: { driver: 'd-9' } });
    const one = verdict({ who: 'driver', whoName: 'd-7', product: 'diesel' }, yard(...more, ...cards));
    expect(one).toMatchObject({ verdict: 'broken', failing: null, counterexample: { driver: 'd-7' } });
  });

  it('tells every eight of them how far it is', () => {
    const rows = Array.from({ length: 17 }, (_, n) => row({}, `e${n}`));
    const { told, verdicts } = check(yard(), rows);
    expect(told).toEqual([0, 8, 16].map((done) => ({ done, of: 17 })));
    expect([...verdicts.keys()]).toEqual(rows.map((r) => r.id));
  });
});

describe('the rule and the record to mend (SPEC E10)', () => {
  const MORNING = [{ days: [0, 1, 2, 3, 4], from: 420, to: 480 }];
  const either = (...edits: readonly Edit[]) => yard(set('sites', 'north', { identify: 'either' }), ...edits);
  const shown = (fields: Partial<Expectation>, fleet = either()) => {
    const got = verdict(fields, fleet);
    if (got.verdict !== 'broken') throw new Error(got.verdict);
    const { driver, vehicle, hose, limit, rule, mend } = got.counterexample;
    return { driver, vehicle, hose, limit, rule, mend };
  };
  const wren = { who: 'driver', whoName: 'd-1' } as const;
  const lorry = { who: 'vehicle', whoName: 'v-1' } as const;

  it('are the allowance that lets somebody through, though the hose or the tank has the last word', () => {
    expect(shown({ ...wren, must: 'never', product: 'diesel', times: MORNING })).toEqual({
      driver: 'd-1',
      vehicle: null,
      hose: 'hose-1',
      limit: gal(40),
      rule: 'per-fill',
      mend: { table: 'allowances', id: 'day-crew' },
    });
    // Pool petrol has no limit of its own.
    expect(shown({ ...wren, must: 'never', product: 'petrol' })).toMatchObject({
      limit: gal(60),
      rule: 'hose-most',
      mend: { table: 'allowances', id: 'pool' },
    });
  });

  it('are what refuses', () => {
    const night = [{ days: [0], from: 0, to: 60 }];
    expect(shown({ ...wren, product: 'diesel', times: night }, either(remove('vehicles', 'v-1')))).toMatchObject({
      driver: 'd-1',
      limit: 0,
      rule: 'allowance-time',
    });
  });

  it('are whoever has no credential', () => {
    const none = either(remove('credentials', 'c-1'), remove('credentials', 'c-2'));
    expect(shown({ ...wren, product: 'diesel' }, none)).toMatchObject({
      driver: 'd-1',
      vehicle: null,
      rule: 'card-known',
      mend: { table: 'drivers', id: 'd-1' },
    });
    expect(shown({ ...lorry, product: 'diesel' }, none)).toMatchObject({
      driver: null,
      vehicle: 'v-1',
      rule: 'card-known',
      mend: { table: 'vehicles', id: 'v-1' },
    });
  });

  it('are a credential that is no longer good, where they have no other', () => {
    const stopped = either(set('credentials', 'c-1', { stopped: true }));
    expect(shown({ ...wren, product: 'diesel', times: MORNING }, stopped)).toMatchObject({
      driver: 'd-1',
      limit: 0,
      rule: 'card-stopped',
      mend: { table: 'credentials', id: 'c-1' },
    });
  });

  it('come of whom they get furthest with', () => {
    // Alone, and with the lorry: 50 gallons by its own allowance are cut to Wren's 40 either way.
    expect(shown({ ...wren, must: 'atLeast', quantity: gal(45), product: 'diesel', times: MORNING })).toMatchObject({
      driver: 'd-1',
      limit: gal(40),
      rule: 'per-fill',
      mend: { table: 'allowances', id: 'day-crew' },
    });
    expect(shown({ ...lorry, must: 'atLeast', quantity: gal(51), times: MORNING })).toMatchObject({
      vehicle: 'v-1',
      limit: gal(50),
    });
  });
});
