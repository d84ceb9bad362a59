import { describe, expect, it } from 'vitest';
import { emptyFleet, type Fleet, newRow, type RowOf, type TableName } from '../../fleet/index.ts';
import type { ZoneTable } from '../../units/index.ts';
import { changed, usageAt, wallOf } from './apply.ts';
import type { Change, WhyCase } from './types.ts';

const EAST: ZoneTable = { zone: 'East', at: [Number.NEGATIVE_INFINITY], offsetMin: [600] };
const zones = () => EAST;
/** Thursday 2026-03-05 20:30 in UTC: Friday 06:30 at the site. */
const AT = Date.UTC(2026, 2, 5, 20, 30);

function caseOf(): WhyCase {
  const fleet = emptyFleet({ name: 'Small', units: 'us', currency: 'USD' });
  const put = <T extends TableName>(table: T, row: Partial<RowOf<T>> & { id: string }) =>
    (fleet[table] as unknown as Map<string, RowOf<T>>).set(row.id, newRow(table, row));
  put('sites', { id: 's', closed: ['2026-03-06', '2026-03-07'] });
  put('hoses', { id: 'h', site: 's', terminals: ['t0'] });
  put('allowances', { id: 'a', times: [{ days: [0], from: 0, to: 60 }], products: ['p'], perDay: 7 });
  put('allowances', { id: 'always', times: null });
  put('drivers', { id: 'd', allowances: ['always'], sites: ['s'] });
  put('credentials', { id: 'c1', number: '1', driver: 'd' });
  put('credentials', { id: 'c2', number: '2', vehicle: 'v' });
  put('credentials', { id: 'c3', number: '3', driver: 'd', vehicle: 'v' });
  put('credentials', { id: 'c4', number: '4' });
  const request = {
    site: 's',
    hose: 'h',
    at: AT,
    credentials: ['1', '2', '3', '4', '9'],
    pin: 'wrong',
    answers: { q: '1' },
  } as const;
  return { fleet, request, usage: { used: {}, readings: {}, cutOff: true } };
}

const base = caseOf();
const after = (...changes: Change[]) => changed(base, changes, zones);
const row = (of: WhyCase, table: keyof Fleet & TableName, id: string) =>
  of.fleet[table].get(id) as unknown as Record<string, unknown>;

describe('a case after changes', () => {
  it('has what was changed about the request, and nothing else', () => {
    const told = (change: Change) => {
      const next = after(change);
      expect(next.fleet).toBe(base.fleet);
      return Object.entries(next.request).filter(([k, v]) => v !== base.request[k as keyof typeof base.request]);
    };
    expect(told({ kind: 'hose', hose: 'h2' })).toEqual([['hose', 'h2']]);
    expect(told({ kind: 'time', at: 5 })).toEqual([['at', 5]]);
    expect(told({ kind: 'pin' })).toEqual([['pin', 'right']]);
    expect(told({ kind: 'answer', question: 'q2', answer: 'x' })).toEqual([['answers', { q: '1', q2: 'x' }]]);
    expect(told({ kind: 'link' })).toEqual([]);
    expect(after({ kind: 'link' }).usage).toEqual({ ...base.usage, cutOff: false });
    expect(after({ kind: 'hose', hose: 'h2' }).usage).toBe(base.usage);
    expect(after({ kind: 'pin' }, { kind: 'time', at: 5 }).request).toEqual({ ...base.request, pin: 'right', at: 5 });
  });

  it('presents a credential instead of one that names the same kind alone', () => {
    const with_ = (table: 'drivers' | 'vehicles') =>
      after({ kind: 'present', table, id: 'x', number: '7', alike: 0 }).request.credentials;
    expect(with_('drivers')).toEqual(['2', '3', '4', '9', '7']);
    expect(with_('vehicles')).toEqual(['1', '3', '4', '9', '7']);
  });

  it('has the changed row, a list longer or shorter by one, and every other row the same object', () => {
    const field = (
      table: Extract<Change, { kind: 'field' }>['table'],
      id: string,
      name: string,
      to: string | number | null,
    ) => {
      const next = after({ kind: 'field', table, id, field: name, to });
      for (const [other, was] of base.fleet[table]) if (other !== id) expect(next.fleet[table].get(other)).toBe(was);
      expect({ ...row(next, table, id), [name]: 0 }).toEqual({ ...row(base, table, id), [name]: 0 });
      return row(next, table, id)[name];
    };
    expect(field('sites', 's', 'closed', '2026-03-06')).toEqual(['2026-03-07']);
    expect(field('hoses', 'h', 'terminals', 't1')).toEqual(['t0', 't1']);
    expect(field('hoses', 'h', 'terminals', 't0')).toEqual(['t0']);
    expect(field('allowances', 'a', 'perDay', 9)).toBe(9);
    expect(field('allowances', 'a', 'perDay', null)).toBeNull();
    // The hour of the wall in which the request was made.
    const hour = { days: [4], from: 360, to: 420 };
    expect(field('allowances', 'a', 'times', 0)).toEqual([{ days: [0], from: 0, to: 60 }, hour]);
    expect(field('allowances', 'always', 'times', 0)).toBeNull();
    expect(after({ kind: 'field', table: 'drivers', id: 'gone', field: 'active', to: true })).toEqual(base);
    const given = after({ kind: 'give', table: 'drivers', id: 'd', allowance: 'a' });
    expect(row(given, 'drivers', 'd')).toEqual({ ...row(base, 'drivers', 'd'), allowances: ['always', 'a'] });
    const moved = after(
      { kind: 'time', at: 5 },
      { kind: 'field', table: 'allowances', id: 'a', field: 'times', to: 0 },
    );
    expect(row(moved, 'allowances', 'a').times).toEqual([{ days: [0], from: 0, to: 60 }, hour]);
  });

  it('is told by the clock of the site', () => {
    expect(wallOf(base, zones)).toEqual({ day: Date.UTC(2026, 2, 6) / 86_400_000, weekday: 4, minute: 390 });
    const nowhere = { ...base, request: { ...base.request, site: 'gone' } };
    expect(wallOf(nowhere, zones)).toEqual({ day: Date.UTC(2026, 2, 5) / 86_400_000, weekday: 3, minute: 1230 });
  });
});

describe('usage at another moment', () => {
  const used = { day: 1, week: 2, month: 3, fillsToday: 4 };
  const known = { used: { 'driver:d a': used }, readings: { 'v hours': 8 }, cutOff: true };

  it('counts no more what belongs to a day, week or month that is over', () => {
    const usage = usageAt(known, EAST, AT);
    const at = (days: number) => usage.used('driver:d', 'a', 's', AT + days * 86_400_000);
    expect(at(0)).toEqual(used);
    // Friday to Saturday, to Monday, to the first of April.
    expect(at(1)).toEqual({ ...used, day: 0, fillsToday: 0 });
    expect(at(3)).toEqual({ day: 0, week: 0, month: 3, fillsToday: 0 });
    expect(at(26)).toEqual({ day: 0, week: 0, month: 0, fillsToday: 0 });
    expect(usage.used('driver:d', 'b', 's', AT)).toBeUndefined();
    expect([usage.cutOff, usage.lastReading('v', 'hours'), usage.lastReading('v', 'odometer')]).toEqual([
      true,
      8,
      undefined,
    ]);
  });
});
