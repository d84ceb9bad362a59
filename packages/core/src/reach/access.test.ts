import { compile, decide, NO_USAGE } from '@fillwright/core/decide';
import type { Edit } from '@fillwright/core/fleet';
import { cardsFor, presentedBy, reachTable } from '@fillwright/core/reach';
import { dayOfDate, type ZoneTable } from '@fillwright/core/units';
import { describe, expect, it } from 'vitest';
import { seeded, smallWorld } from '../../test/small-world.ts';
import { put, set, yard } from '../../test/yard.ts';

const UTC: ZoneTable = { zone: 'UTC', at: [Number.NEGATIVE_INFINITY], offsetMin: [0] };
const zones = () => UTC;
const FIRST = dayOfDate(2026, 3, 6);
const DAYS = [0, 1, 2, 3].map((n) => FIRST + n);
/** A site that asks for nothing but a driver. */
const ASKS_LITTLE = set('sites', 'north', { identify: 'driver', pin: false, questions: [] });

/** Whom cards present at the yard, and the rule by which a decision refuses them; null where it does not. */
function presented(numbers: readonly string[], ...edits: readonly Edit[]) {
  const policy = compile(yard(ASKS_LITTLE, ...edits), zones);
  const who = presentedBy(reachTable(policy, [FIRST, FIRST]), numbers);
  const at = FIRST * 86_400_000 + 12 * 3_600_000;
  const request = { site: 'north', hose: 'hose-1', at, credentials: numbers, pin: 'right' as const, answers: {} };
  const decision = decide(policy, request, NO_USAGE);
  return { who, refused: decision.approved ? null : decision.by.rule };
}

describe('whom cards present', () => {
  it('is nobody where a card names somebody who is not in the roster, if only beside somebody who is, or nobody', () => {
    const card = (names: object) => put('credentials', { id: 'c-3', number: '3', ...names });
    for (const [names, refused] of [
      [{ driver: 'd-1', vehicle: 'gone' }, 'holder-active'],
      [{ driver: 'gone', vehicle: 'v-1' }, 'holder-active'],
      [{ driver: null, vehicle: null }, 'cards-agree'],
    ] as const)
      expect(presented(['3'], card(names)), JSON.stringify(names)).toEqual({ who: null, refused });
    expect(presented(['3'], card({ driver: 'd-1', vehicle: 'v-1' })).refused).toBeNull();
  });

  it('is nobody where two cards name two drivers, or two vehicles', () => {
    const other = [
      put('drivers', { id: 'd-2', name: 'Ida Marsh', allowances: ['day-crew'] }),
      put('vehicles', { id: 'v-2', name: 'Lorry 2', allowances: ['vans'] }),
      put('credentials', { id: 'c-3', number: '3', driver: 'd-2' }),
      put('credentials', { id: 'c-4', number: '4', vehicle: 'v-2' }),
      put('credentials', { id: 'c-5', number: '5', driver: 'd-1', vehicle: 'v-2' }),
    ];
    for (const numbers of [
      ['70001', '3'],
      ['70002', '4'],
      ['5', '3'],
      ['70002', '5'],
    ])
      expect(presented(numbers, ...other), numbers.join()).toEqual({ who: null, refused: 'cards-agree' });
    for (const numbers of [
      ['70001', '4'],
      ['5', '70001'],
      ['4', '5'],
    ])
      expect(presented(numbers, ...other).refused, numbers.join()).toBeNull();
  });

  it('is nobody where one of them is out of service', () => {
    for (const [table, id] of [
      ['drivers', 'd-1'],
      ['vehicles', 'v-1'],
    ] as const) {
      const { who, refused } = presented(['70001', '70002'], set(table, id, { active: false }));
      expect([who, refused]).toEqual([null, 'holder-active']);
    }
  });
});

describe('the numbers that present somebody', () => {
  it('are of one card for the two of them where one is good that day, else of a card each as far as there are', () => {
    let [both, each] = [0, 0];
    for (let seed = 1; seed <= 100; seed++) {
      const { fleet } = smallWorld(seed);
      const random = seeded(seed);
      const stopped = new Set([...fleet.credentials.values()].filter(() => random() < 0.1).map((c) => c.number));
      const policy = compile(fleet, zones, stopped);
      const rows = [...fleet.credentials.values()];
      for (const driver of [null, ...fleet.drivers.keys()])
        for (const vehicle of [null, ...fleet.vehicles.keys()])
          for (const day of DAYS) {
            const good = (d: string | null, v: string | null) =>
              rows.filter((c) => {
                const twice = rows.filter((other) => other.number === c.number).length > 1;
                const today = new Date(day * 86_400_000).toISOString().slice(0, 10);
                const dated = (c.validFrom ?? today) <= today && today <= (c.validUntil ?? today);
                return c.driver === d && c.vehicle === v && !c.stopped && !stopped.has(c.number) && !twice && dated;
              });
            const found = cardsFor(policy, driver, vehicle, day);
            const told = `seed ${seed} ${driver} ${vehicle} ${day}`;
            const named = good(driver, vehicle).map((c) => c.number);
            if (driver !== null && vehicle !== null && named.length > 0) {
              both++;
              expect([found.length, named.includes(found[0] as string)], told).toEqual([1, true]);
              continue;
            }
            const own = [driver === null ? [] : good(driver, null), vehicle === null ? [] : good(null, vehicle)];
            const kinds = own.filter((list) => list.length > 0);
            expect(found.length, told).toBe(kinds.length);
            for (const [n, list] of kinds.entries())
              expect(
                list.map((c) => c.number),
                told,
              ).toContain(found[n]);
            if (kinds.length === 2) each++;
          }
    }
    expect(both).toBeGreaterThan(50);
    expect(each).toBeGreaterThan(50);
  });
});
