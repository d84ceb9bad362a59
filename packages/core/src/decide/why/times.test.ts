import { expect, it } from 'vitest';
import { set, yard } from '../../../test/yard.ts';
import type { Edit, Window } from '../../fleet/index.ts';
import { zoneTable } from '../../units/index.ts';
import { why } from './why.ts';

const zones = () => zoneTable('America/New_York');
const SUNDAY = 6;

/** When to come, for somebody who was declined at `at` since it was not within `times`, or the site was closed. */
function comeAt(at: number, times: readonly Window[], closed: readonly string[] = []): number | undefined {
  const fleet = yard(
    set('sites', 'north', { zone: 'America/New_York', closed: [...closed] }),
    set('allowances', 'day-crew', { times: [...times] }),
  );
  const request = {
    ...{ site: 'north', hose: 'hose-1', at, credentials: ['70001', '70002'] },
    ...{ pin: 'right' as const, answers: { odometer: '1' } },
  };
  const { remedies } = why({ fleet, request, usage: { used: {}, readings: {}, cutOff: false } }, zones);
  return remedies.flatMap(({ changes: [c] }) => (c?.kind === 'time' ? [c.at] : []))[0];
}

/** New York turns its clocks on Sunday 2026-03-08, 02:00 to 03:00, and on Sunday 2026-11-01, 02:00 to 01:00: IANA tzdata. */
const SPRING = Date.UTC(2026, 2, 8, 7);
const AUTUMN = Date.UTC(2026, 10, 1, 6);
const MINUTE = 60_000;
const HOUR = 60 * MINUTE;

it('a time that the clock skips begins when it has skipped it, and one that is over by then a week later', () => {
  const saturday = Date.UTC(2026, 2, 7, 17);
  expect(comeAt(saturday, [{ days: [SUNDAY], from: 150, to: 240 }])).toBe(SPRING);
  expect(comeAt(saturday, [{ days: [SUNDAY], from: 120, to: 180 }])).toBe(Date.UTC(2026, 2, 15, 6));
  // Both Sundays before are closed, and the clock skips the hour on the third.
  const closed = ['2026-02-22', '2026-03-01'];
  expect(comeAt(Date.UTC(2026, 1, 20, 17), [{ days: [SUNDAY], from: 120, to: 180 }], closed)).toBe(
    Date.UTC(2026, 2, 15, 6),
  );
  // The last of the days that are looked at.
  const sundays = ['2026-02-08', '2026-02-15', '2026-02-22', '2026-03-01'];
  expect(comeAt(Date.UTC(2026, 1, 2, 17), [{ days: [SUNDAY], from: 150, to: 240 }], sundays)).toBe(SPRING);
  expect(comeAt(Date.UTC(2026, 1, 1, 17), [{ days: [SUNDAY], from: 150, to: 240 }], sundays)).toBeUndefined();
  expect(comeAt(Date.UTC(2026, 1, 2, 17), [{ days: [SUNDAY], from: 240, to: 300 }], sundays)).toBe(SPRING + HOUR);
});

it('an hour that comes twice opens twice (D24)', () => {
  const first = AUTUMN - 20 * MINUTE;
  // 01:40 before the clock is turned: what is open until 01:30 is open again from 01:00.
  expect(comeAt(first, [{ days: [SUNDAY], from: 0, to: 90 }])).toBe(AUTUMN);
  // 01:10 after it was turned: what is open from 01:30 is open again from then.
  expect(comeAt(AUTUMN + 10 * MINUTE, [{ days: [SUNDAY], from: 90, to: 120 }])).toBe(AUTUMN + 30 * MINUTE);
  // At that very moment it is closed: a later one is said.
  expect(comeAt(AUTUMN, [{ days: [SUNDAY], from: 120, to: 180 }])).toBe(AUTUMN + HOUR);
});

/** A driver who is declined on Wednesday 2026-06-10 at 12:20, with what else would have to be changed for coming at another time to help. */
function laterAfter(day: object, site: object, week: number, ...edits: readonly Edit[]) {
  const fleet = yard(
    set('sites', 'north', { zone: 'America/New_York', ...site }),
    set('allowances', 'day-crew', { ...day }),
    ...edits,
  );
  const request = {
    ...{ site: 'north', hose: 'hose-1', at: Date.UTC(2026, 5, 10, 16, 20), credentials: ['70001', '70002'] },
    ...{ pin: 'right' as const, answers: { odometer: '1' } },
  };
  const used = { 'driver:d-1 day-crew': { day: 0, week, month: week, fillsToday: 0 } };
  const { remedies } = why({ fleet, request, usage: { used, readings: {}, cutOff: false } }, zones);
  return remedies
    .filter(({ changes }) => changes.some((c) => c.kind === 'time'))
    .map(({ changes }) => changes.map((c) => (c.kind === 'time' ? c.at : c.kind === 'field' ? c.field : c.kind)));
}

it('a week that is used up begins anew on Monday, at the first time after it', () => {
  const used = 1_000_000_000;
  // Open on Thursdays: not tomorrow, but on 2026-06-18 from 08:00.
  const thursdays = { times: [{ days: [3], from: 480, to: 1080 }], perWeek: used };
  expect(laterAfter(thursdays, {}, used)).toEqual([[Date.UTC(2026, 5, 18, 12)]]);
});

it('the hour that an allowance may gain comes again a week later', () => {
  const remedies = laterAfter({ times: [] }, { closed: ['2026-06-10'] }, 0);
  expect(remedies).toContainEqual(['times', Date.UTC(2026, 5, 17, 16)]);
});

it('an allowance that is given has times of its own', () => {
  const times = [{ days: [2], from: 730, to: 780 }];
  const none = { allowances: [] };
  const edits = [set('drivers', 'd-1', none), set('vehicles', 'v-1', none)];
  const remedies = laterAfter({ times }, { closed: ['2026-06-10'] }, 0, ...edits);
  expect(remedies).toContainEqual(['give', Date.UTC(2026, 5, 17, 16, 10)]);
});
