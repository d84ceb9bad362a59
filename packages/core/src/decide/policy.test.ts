import { describe, expect, it } from 'vitest';
import { seeded } from '../../test/small-world.ts';
import { gal, set, yard } from '../../test/yard.ts';
import type { Window } from '../fleet/index.ts';
import type { ZoneTable } from '../units/index.ts';
import { decide, ruleOf } from './decide.ts';
import { compile } from './policy.ts';
import { NO_USAGE } from './recorded-usage.ts';
import type { DecisionRequest } from './types.ts';

const UTC: ZoneTable = { zone: 'UTC', at: [Number.NEGATIVE_INFINITY], offsetMin: [0] };
const zones = () => UTC;
/** Monday 2026-03-02, 00:00. */
const MONDAY = Date.UTC(2026, 2, 2);
const REQUEST: DecisionRequest = {
  ...{ site: 'north', hose: 'hose-1', at: MONDAY + 12 * 3_600_000 },
  ...{ credentials: ['70001', '70002'], pin: 'right', answers: { odometer: '1' } },
};

describe('an allowance', () => {
  it('holds at exactly the minutes of the week that its times name (D24)', () => {
    const random = seeded(12);
    const below = (n: number) => Math.floor(random() * n);
    for (let round = 0; round < 6; round++) {
      const times: Window[] = Array.from({ length: 1 + below(3) }, () => ({
        ...{ days: [0, 1, 2, 3, 4, 5, 6].filter(() => random() < 0.4), from: below(1440), to: below(1441) },
      }));
      // By walking each window from its beginning, over midnight and over the end of the week, to its end.
      const named = new Set<number>();
      for (const { days, from, to } of times)
        for (const day of days)
          for (let m = from, n = (to - from + 1440) % 1440 || 1440; n > 0; n--, m++)
            named.add((day * 1440 + m) % 10_080);
      const policy = compile(yard(set('allowances', 'day-crew', { times })), zones);
      for (let minute = 0; minute < 10_080; minute++) {
        const decision = decide(policy, { ...REQUEST, at: MONDAY + minute * 60_000 }, NO_USAGE);
        const holds = decision.approved ? true : ruleOf(decision) !== 'allowance-time';
        if (holds !== named.has(minute)) expect({ times, minute, holds }).toEqual({ times, minute, holds: !holds });
      }
    }
  });

  it('that limits no day, week, month and no fills is not declined while cut off, whatever it says (D20)', () => {
    const policy = (limits: object) =>
      compile(yard(set('allowances', 'vans', { cutOff: 'decline', ...limits })), zones);
    const cutOff = { ...NO_USAGE, cutOff: true };
    expect(decide(policy({}), REQUEST, cutOff)).toMatchObject({ approved: true, limit: gal(40) });
    for (const limit of [{ perDay: gal(60) }, { perWeek: gal(60) }, { perMonth: gal(60) }, { fillsPerDay: 3 }])
      expect(ruleOf(decide(policy(limit), REQUEST, cutOff)), JSON.stringify(limit)).toBe('allowance-cut-off');
    expect(decide(policy({ perDay: gal(60) }), REQUEST, NO_USAGE)).toMatchObject({ approved: true, limit: gal(40) });
  });
});
