import type { Edit, Expectation } from '@fillwright/core/fleet';
import { describe, expect, it } from 'vitest';
import { DIESEL_HOSE, verdictOn } from '../../../test/checked.ts';
import { gal, put, remove, set, yard } from '../../../test/yard.ts';

describe('the rule and the record to mend (SPEC E10)', () => {
  const MORNING = [{ days: [0, 1, 2, 3, 4], from: 420, to: 480 }];
  const either = (...edits: readonly Edit[]) => yard(set('sites', 'north', { identify: 'either' }), ...edits);
  const shown = (fields: Partial<Expectation>, fleet = either()) => {
    const got = verdictOn(fields, fleet);
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
    const late = either(set('credentials', 'c-2', { validUntil: '2026-11-01' }));
    expect(shown({ ...lorry, product: 'diesel', times: MORNING }, late)).toMatchObject({
      vehicle: 'v-1',
      limit: 0,
      rule: 'card-dates',
      mend: { table: 'credentials', id: 'c-2' },
    });
    // A number that two have presents neither of them.
    const twice = either(put('credentials', { id: 'c-3', number: '70001', vehicle: 'v-1' }));
    expect(shown({ ...wren, product: 'diesel', times: MORNING }, twice)).toMatchObject({
      limit: 0,
      rule: 'card-known',
      mend: { table: 'drivers', id: 'd-1' },
    });
  });

  it('come of a request in which everything that is asked is answered rightly', () => {
    const silent = set('sites', 'north', { identify: 'either', questions: [] });
    for (const [who, table, id] of [
      [wren, 'drivers', 'd-1'],
      [lorry, 'vehicles', 'v-1'],
    ] as const) {
      const asked = set(table, id, { questions: ['odometer'] });
      const got = verdictOn({ ...who, must: 'never', product: 'petrol' }, yard(silent, asked));
      expect(got).toMatchObject({ verdict: 'broken', counterexample: { request: { answers: { odometer: '0' } } } });
    }
    const none = verdictOn(
      { ...wren, product: 'diesel' },
      either(remove('credentials', 'c-1'), remove('credentials', 'c-2')),
    );
    expect(none).toMatchObject({ counterexample: { request: { credentials: [], pin: 'right' } } });
  });

  it('are those of the first of whoever comes as far, one alone before two', () => {
    expect(shown({ ...wren, must: 'atLeast', quantity: gal(45), product: 'diesel', times: MORNING })).toEqual({
      driver: 'd-1',
      vehicle: null,
      hose: 'hose-1',
      limit: gal(40),
      rule: 'per-fill',
      mend: { table: 'allowances', id: 'day-crew' },
    });
    expect(shown({ ...lorry, must: 'atLeast', quantity: gal(51), times: MORNING })).toMatchObject({
      driver: null,
      vehicle: 'v-1',
      limit: gal(50),
    });
  });

  it('are found with whom a card names with them, then with their own department, then with others', () => {
    const twelve = Array.from({ length: 12 }, (_, n) => `o-${n}`);
    for (const [who, own, others] of [
      [
        wren,
        { table: 'drivers', side: 'driver', id: 'd-1' },
        { table: 'vehicles', side: 'vehicle', id: 'v-1', card: 'c-2' },
      ],
      [
        lorry,
        { table: 'vehicles', side: 'vehicle', id: 'v-1' },
        { table: 'drivers', side: 'driver', id: 'd-1', card: 'c-1' },
      ],
    ] as const) {
      const holds = (allowance: string, more: Record<string, unknown> = {}) => ({ allowances: [allowance], ...more });
      /** Of twelve others with cards, eleven let 20 gallons through; with the best 55 may be drawn. */
      const best = (id: string, more: Record<string, unknown> = {}, ...edits: readonly Edit[]) => {
        const fleet = either(
          put('allowances', { id: 'big', name: 'Big', products: ['diesel'], perFill: gal(55) }),
          put('allowances', { id: 'little', name: 'Little', products: ['diesel'], perFill: gal(20) }),
          set(own.table, own.id, { allowances: [], ...(own.table === 'vehicles' ? { capacity: null } : {}) }),
          remove(others.table, others.id),
          remove('credentials', others.card),
          ...twelve.map((o) => put(others.table, { id: o, name: o, department: 'Streets', ...holds('little') })),
          ...twelve.map((o, n) => put('credentials', { id: `k-${n}`, number: `9${n}`, [others.side]: o })),
          set(others.table, id, holds('big', more)),
          ...edits,
        );
        const found = shown({ ...who, must: 'atLeast', quantity: gal(60), product: 'diesel' }, fleet);
        return [found[others.side], found.limit];
      };
      const card = (n: number, one: string, other: string) =>
        put('credentials', { id: `p-${n}`, number: `6${n}`, [own.side]: one, [others.side]: other });
      expect(best('o-0')).toEqual(['o-0', gal(55)]);
      expect(best('o-11', { department: ' haulage' })).toEqual(['o-11', gal(55)]);
      expect(best('o-11', {}, card(0, own.id, 'o-11'))).toEqual(['o-11', gal(55)]);
      // Whatever cards name others of their kind with others.
      const strangers = [1, 2, 3, 4, 5, 6, 7].map((n) => put(own.table, { id: `s-${n}`, name: `s-${n}` }));
      const theirs = [1, 2, 3, 4, 5, 6, 7].map((n) => card(n, `s-${n}`, `o-${n}`));
      expect(best('o-11', {}, ...strangers, ...theirs, card(0, own.id, 'o-11'))).toEqual(['o-11', gal(55)]);
      // Of two with whom they get as far, the one of their own department.
      const second = set(others.table, 'o-11', { department: 'Haulage', allowances: ['big'] });
      expect(best('o-0', {}, second)).toEqual(['o-11', gal(55)]);
    }
  });

  it('are found at the hose where least is missing, among however many', () => {
    const hoses = (many: number, fields: Record<string, unknown>) =>
      Array.from({ length: many }, (_, n) =>
        put('hoses', { ...DIESEL_HOSE, id: `x-${n}`, site: 'north', number: 3 + n, channel: 3 + n, ...fields }),
      );
    const end = put('hoses', { ...DIESEL_HOSE, id: 'zz', site: 'north', number: 61, channel: 61, mostPerFill: gal(5) });
    const last = put('hoses', { ...DIESEL_HOSE, id: 'z', site: 'north', number: 60, channel: 60 });
    const wants = (who: typeof wren | typeof lorry) => ({ ...who, must: 'atLeast', quantity: gal(90) }) as const;
    const little = put('allowances', { id: 'little', name: 'Little', products: ['petrol'], perFill: gal(10) });
    const much = put('allowances', { id: 'much', name: 'Much', products: ['diesel'], perFill: gal(30) });
    const petrol = hoses(50, { product: 'petrol', pump: 'pump-petrol' });
    for (const [who, table, id] of [
      [wren, 'drivers', 'd-1'],
      [lorry, 'vehicles', 'v-1'],
    ] as const) {
      const other =
        table === 'drivers' ? set('vehicles', 'v-1', { active: false }) : set('drivers', 'd-1', { active: false });
      const own = (allowances: string[]) => [little, much, other, set(table, id, { allowances })];
      const fleet = (...edits: readonly Edit[]) => either(remove('hoses', 'hose-1'), ...edits, last, end);
      expect(shown(wants(who), fleet(...own(['little', 'much']), ...petrol))).toMatchObject({
        hose: 'z',
        limit: gal(30),
      });
      // Where no allowance of theirs covers the one product, the other comes first though there are few of it.
      expect(shown(wants(who), fleet(...own(['much']), ...petrol))).toMatchObject({ hose: 'z', limit: gal(30) });
      // Out of service comes last, even of a product that is given elsewhere there.
      const out = hoses(50, { active: false });
      expect(shown(wants(who), fleet(...own(['little']), remove('hoses', 'hose-2'), ...out))).toMatchObject({
        hose: 'z',
        limit: 0,
      });
    }
  });
});
