import { compile } from '@fillwright/core/decide';
import type { Edit } from '@fillwright/core/fleet';
import { holds, presentedBy, reachTable, standingOf } from '@fillwright/core/reach';
import { formatDate, parseDate, zoneTable } from '@fillwright/core/units';
import { describe, expect, it } from 'vitest';
import { withPairs } from '../../test/open-world.ts';
import { smallWorld } from '../../test/small-world.ts';
import { put, remove, set, yard } from '../../test/yard.ts';

const TODAY = parseDate('2026-11-30') as number;
const DAYS = 365;
type Edits = readonly Edit[];

const tableOf = (...edits: Edits) =>
  reachTable(
    compile(yard(...edits), (zone) => zoneTable(zone, 2026, 2028)),
    [TODAY, TODAY + DAYS - 1],
  );
/** The days as dates, or why nobody stands there. */
function stands(driver: string | null, vehicle: string | null, ...edits: Edits): string {
  const s = standingOf(tableOf(...edits), driver, vehicle);
  return s.stands ? s.days.map(formatDate).join(' ') : s.why;
}

describe('who stands at a terminal', () => {
  it('comes on the days of their card and their own, two on those of both', () => {
    expect(stands('d-1', null)).toBe('2026-11-30 2027-11-29');
    expect(stands(null, 'v-1')).toBe('2026-11-30 2027-11-29');
    const until = set('credentials', 'c-1', { validUntil: '2027-03-31' });
    const from = set('vehicles', 'v-1', { validFrom: '2027-02-01' });
    expect(stands('d-1', null, until, from)).toBe('2026-11-30 2027-03-31');
    expect(stands(null, 'v-1', until, from)).toBe('2027-02-01 2027-11-29');
    expect(stands('d-1', 'v-1', until, from)).toBe('2027-02-01 2027-03-31');
    const table = tableOf(until);
    const s = standingOf(table, 'd-1', 'v-1');
    expect(s.stands && s.who).toEqual({ driver: table.driverOf.get('d-1'), vehicle: table.vehicleOf.get('v-1') });
    const one = standingOf(table, null, 'v-1');
    expect(one.stands && one.who).toEqual({ driver: null, vehicle: table.vehicleOf.get('v-1') });
  });

  it('comes on the days of a card that names both as well', () => {
    const until = set('credentials', 'c-1', { validUntil: '2027-01-31' });
    const both = { id: 'c-3', number: '7', driver: 'd-1', vehicle: 'v-1' };
    const later = put('credentials', { ...both, validFrom: '2027-05-01', validUntil: '2027-05-31' });
    expect(stands('d-1', 'v-1', until, later)).toBe('2026-11-30 2027-01-31 2027-05-01 2027-05-31');
    // It presents neither alone, nor either with another.
    expect(stands('d-1', null, until, later)).toBe('2026-11-30 2027-01-31');
    const van = [
      put('vehicles', { id: 'v-2', name: 'Van 2' }),
      put('credentials', { id: 'c-4', number: '8', vehicle: 'v-2' }),
    ];
    expect(stands('d-1', 'v-2', until, later, ...van)).toBe('2026-11-30 2027-01-31');
    const other = [
      put('drivers', { id: 'd-2', name: 'Isa Fenn' }),
      put('credentials', { id: 'c-4', number: '8', driver: 'd-2' }),
    ];
    expect(stands('d-2', 'v-1', until, later, ...other)).toBe('2026-11-30 2027-11-29');
  });

  it('is whom some credentials present, on those days and no others', () => {
    let [come, away] = [0, 0];
    for (let seed = 1; seed <= 20; seed++) {
      const fleet = withPairs(smallWorld(seed).fleet, seed, 0.3);
      const [first, last] = [Date.UTC(2026, 2, 5) / 86_400_000, Date.UTC(2026, 2, 9) / 86_400_000];
      const policy = compile(fleet, (zone) => zoneTable(zone, 2025, 2027));
      const table = reachTable(policy, [first, last]);
      const numbers = [...policy.cards.keys()];
      const ways = numbers.flatMap((a) => numbers.map((b) => (a === b ? [a] : [a, b])));
      const one = (ids: readonly (string | null | undefined)[]) => ids.find((id) => id) ?? null;
      const presented = ways.flatMap((way) => {
        const cards = way.map((number) => policy.cards.get(number));
        const days = presentedBy(table, way)?.days ?? [];
        return { driver: one(cards.map((c) => c?.driverId)), vehicle: one(cards.map((c) => c?.vehicleId)), days };
      });
      for (const driver of [null, ...fleet.drivers.keys()]) {
        for (const vehicle of [null, ...fleet.vehicles.keys()]) {
          if (driver === null && vehicle === null) continue;
          const s = standingOf(table, driver, vehicle);
          const theirs = presented.filter((p) => p.driver === driver && p.vehicle === vehicle);
          for (let day = first; day <= last; day++) {
            const comes = theirs.some((p) => holds(p.days, day));
            expect(s.stands && holds(s.days, day), `seed ${seed} ${driver} ${vehicle} ${day}`).toBe(comes);
            if (comes) come++;
            else away++;
          }
        }
      }
    }
    expect([come > 100, away > 100]).toEqual([true, true]);
  });
});

describe('why nobody stands there', () => {
  it('is that they are not in the roster, not active, or without a credential: the driver first', () => {
    expect(stands('d-9', 'v-9')).toBe('“d-9” is not in the roster.');
    expect(stands('d-1', 'v-9')).toBe('“v-9” is not in the roster.');
    const away = [set('drivers', 'd-1', { active: false }), set('vehicles', 'v-1', { active: false })];
    expect(stands('d-1', null, ...away)).toBe('Wren Aldous is not active, so no site lets them draw.');
    expect(stands(null, 'v-1', ...away)).toBe('Lorry 1 is not active, so no site lets them draw.');
    const none = 'is good: none is in the roster, or it is stopped or shares its number with another.';
    expect(stands('d-1', 'v-1', remove('credentials', 'c-1'))).toBe(`No credential of Wren Aldous ${none}`);
    expect(stands('d-1', 'v-1', set('credentials', 'c-2', { stopped: true }))).toBe(`No credential of Lorry 1 ${none}`);
  });

  it('is that their dates never meet', () => {
    const never = 'and a credential of theirs both within their dates.';
    const past = { validUntil: '2026-11-01' };
    expect(stands('d-1', null, set('credentials', 'c-1', past))).toBe(
      `On no day of the coming year are Wren Aldous ${never}`,
    );
    expect(stands(null, 'v-1', set('vehicles', 'v-1', past))).toBe(`On no day of the coming year are Lorry 1 ${never}`);
    const apart = [
      set('credentials', 'c-1', { validUntil: '2027-01-31' }),
      set('credentials', 'c-2', { validFrom: '2027-02-01' }),
    ];
    expect(stands('d-1', 'v-1', ...apart)).toBe(
      'No credentials present Wren Aldous and Lorry 1 together on any day of the coming year.',
    );
  });

  it('is that their only credential names another with them, of whom three are told', () => {
    const vans = [2, 3, 4, 5].map((n) => put('vehicles', { id: `v-${n}`, name: `Van ${n}` }));
    const card = (n: number, dates = {}) =>
      put('credentials', { id: `k-${n}`, number: `7${n}`, driver: 'd-1', vehicle: `v-${n}`, ...dates });
    const only = [remove('credentials', 'c-1'), ...vans];
    const choose = 'has only a credential that names another with them: choose';
    expect(stands('d-1', null, ...only, card(2))).toBe(`Wren Aldous ${choose} Van 2 too.`);
    expect(stands('d-1', null, ...only, ...[2, 3, 4, 5].map((n) => card(n)))).toBe(
      `Wren Aldous ${choose} Van 2 or Van 3 or Van 4 too.`,
    );
    expect(stands(null, 'v-3', ...only, card(3))).toBe(`Van 3 ${choose} Wren Aldous too.`);
    // Not one whose days are over.
    expect(stands('d-1', null, ...only, card(2, { validUntil: '2026-11-01' }), card(3))).toBe(
      `Wren Aldous ${choose} Van 3 too.`,
    );
    // Nor those whom a card of others names.
    const past = card(2, { validUntil: '2026-11-01' });
    const others = [
      put('drivers', { id: 'd-2', name: 'Isa Fenn' }),
      put('credentials', { id: 'k-9', number: '79', driver: 'd-2', vehicle: 'v-3' }),
    ];
    expect(stands('d-1', null, ...only, past, ...others)).toContain('On no day');
    expect(stands(null, 'v-2', ...only, past, ...others)).toContain('On no day');
  });
});
