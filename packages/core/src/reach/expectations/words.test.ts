import { type Expectation, newRow } from '@fillwright/core/fleet';
import {
  type Counterexample,
  counterexampleWords,
  ruleToMend,
  sentenceWords,
  type Verdict,
  verdictWords,
} from '@fillwright/core/reach';
import { parseDate } from '@fillwright/core/units';
import { describe, expect, it } from 'vitest';
import { gal, yard } from '../../../test/yard.ts';

const fleet = yard();
const said = (fields: Partial<Expectation>) =>
  sentenceWords(fleet, newRow('expectations', { id: 'e', who: 'everyone', must: 'can', ...fields }));

describe('an expectation in words', () => {
  it('says who', () => {
    const streets = { whoName: 'Streets' };
    expect(said({})).toBe('Everyone can draw something.');
    expect(said({ who: 'driver', whoName: 'd-1' })).toBe('Wren Aldous can draw something.');
    expect(said({ who: 'vehicle', whoName: 'v-1' })).toBe('Lorry 1 can draw something.');
    expect(said({ who: 'department', ...streets })).toBe('Streets can draw something.');
    expect(said({ who: 'costCentre', whoName: 'haulage' })).toBe('Haulage can draw something.');
    expect(said({ who: 'nobodyBut', ...streets })).toBe('Nobody but Streets can draw something.');
    expect(said({ who: 'nobodyButDriver', whoName: 'd-1' })).toBe('Nobody but Wren Aldous can draw something.');
    expect(said({ who: 'nobodyButVehicle', whoName: 'v-1' })).toBe('Nobody but Lorry 1 can draw something.');
    expect(said({ who: 'nobodyButCostCentre', whoName: 'haulage' })).toBe('Nobody but Haulage can draw something.');
  });

  it('says whom it names by the id where the roster has none, and leaves room where nobody is named yet', () => {
    expect(said({ who: 'driver', whoName: 'd-9' })).toBe('D-9 can draw something.');
    expect(said({ hose: 'hose-9' })).toBe('Everyone can draw something from hose-9.');
    expect(said({ who: 'department', whoName: '' })).toBe('… can draw something.');
    expect(said({ who: 'nobodyBut', whoName: '' })).toBe('Nobody but … can draw something.');
  });

  it('says what, of which product', () => {
    const diesel = { product: 'diesel' };
    const forty = { quantity: gal(40) };
    expect(said(diesel)).toBe('Everyone can draw Diesel.');
    expect(said({ must: 'never' })).toBe('Everyone can never draw anything.');
    expect(said({ must: 'never', ...diesel })).toBe('Everyone can never draw Diesel.');
    expect(said({ must: 'atLeast', ...forty })).toBe('Everyone can draw at least 40 gal.');
    expect(said({ must: 'atLeast', ...forty, ...diesel })).toBe('Everyone can draw at least 40 gal of Diesel.');
    expect(said({ must: 'atMost', ...forty })).toBe('Everyone can draw at most 40 gal.');
    expect(said({ must: 'atMost', ...forty, ...diesel })).toBe('Everyone can draw at most 40 gal of Diesel.');
    expect(said({ must: 'atLeast' })).toBe('Everyone can draw at least ….');
  });

  it('says where and when', () => {
    expect(said({ site: 'north' })).toBe('Everyone can draw something at North yard.');
    expect(said({ hose: 'hose-2' })).toBe('Everyone can draw something from hose 2.');
    expect(said({ site: 'north', hose: 'hose-2' })).toBe('Everyone can draw something from hose 2 at North yard.');
    const night = { days: [0, 1, 2, 3, 4], from: 1320, to: 300 };
    const noon = { days: [6], from: 660, to: 780 };
    expect(said({ times: [night] })).toBe('Everyone can draw something, Mon-Fri 22:00-05:00.');
    expect(said({ times: [night, noon] })).toBe('Everyone can draw something, Mon-Fri 22:00-05:00; Sun 11:00-13:00.');
    const [from, until] = ['2026-03-01', '2026-03-31'];
    expect(said({ from })).toBe('Everyone can draw something, from 2026-03-01.');
    expect(said({ until })).toBe('Everyone can draw something, until 2026-03-31.');
    expect(said({ from, until })).toBe('Everyone can draw something, from 2026-03-01 until 2026-03-31.');
    expect(said({ site: 'north', times: [noon], until })).toBe(
      'Everyone can draw something at North yard, Sun 11:00-13:00, until 2026-03-31.',
    );
  });
});

const point: Counterexample = {
  driver: 'd-1',
  vehicle: 'v-1',
  site: 'north',
  hose: 'hose-1',
  day: parseDate('2026-11-30') as number,
  minute: 365,
  request: { site: 'north', hose: 'hose-1', at: 0, credentials: [], pin: 'right', answers: {} },
  limit: gal(40),
  rule: 'per-fill',
  mend: { table: 'allowances', id: 'day-crew' },
};

describe('a verdict in words', () => {
  it('says of a counterexample who may draw what, or may not, where and when', () => {
    const where = 'from hose 1 at North yard on Monday 2026-11-30 at 06:05.';
    expect(counterexampleWords(fleet, point)).toBe(`Wren Aldous with Lorry 1 may draw 40 gal of Diesel ${where}`);
    expect(counterexampleWords(fleet, { ...point, vehicle: null })).toBe(
      `Wren Aldous may draw 40 gal of Diesel ${where}`,
    );
    expect(counterexampleWords(fleet, { ...point, driver: null })).toBe(`Lorry 1 may draw 40 gal of Diesel ${where}`);
    expect(counterexampleWords(fleet, { ...point, limit: 0 })).toBe(
      `Wren Aldous with Lorry 1 may not draw Diesel ${where}`,
    );
    const days = [0, 1, 2, 3, 4, 5, 6].map((n) => counterexampleWords(fleet, { ...point, day: point.day + n }));
    expect(days.map((text) => / on (\w+) /.exec(text)?.[1])).toEqual([
      'Monday',
      'Tuesday',
      'Wednesday',
      'Thursday',
      'Friday',
      'Saturday',
      'Sunday',
    ]);
  });

  it('says which rule decided, of which record', () => {
    expect(ruleToMend(fleet, point)).toBe('The most per fill, of Day crew diesel');
    expect(ruleToMend(fleet, { ...point, mend: null })).toBe('The most per fill');
    expect(ruleToMend(fleet, { ...point, rule: 'hose-most', mend: { table: 'hoses', id: 'hose-1' } })).toBe(
      'The most that the hose gives in one fill, of hose 1',
    );
  });

  it('is one line', () => {
    const unread = (why: Extract<Verdict, { verdict: 'unread' }>['why']) =>
      verdictWords(fleet, { verdict: 'unread', field: 'whoName', why });
    expect(verdictWords(fleet, { verdict: 'holds' })).toBe('Holds');
    expect(verdictWords(fleet, { verdict: 'idle' })).toBe('Asks nothing in the coming 90 days');
    expect(unread('not-there')).toBe('Cannot be read. It speaks of something that is not in the fleet.');
    expect(unread('nobody')).toBe('Cannot be read. It speaks of nobody who is active.');
    expect(unread('no-hose')).toBe('Cannot be read. No hose gives that there.');
    expect(unread('no-quantity')).toBe('Cannot be read. It needs a quantity.');
    expect(unread('dates')).toBe('Cannot be read. It ends before it begins.');
    expect(unread('times')).toBe('Cannot be read. No minute is in its times.');
    expect(unread('nobody-but')).toBe(
      'Cannot be read. “Nobody but” goes with “can draw” and “can draw at least” only.',
    );
    const shown = 'Broken. Wren Aldous may not draw Diesel from hose 1 at North yard on Monday 2026-11-30 at 06:05.';
    const counterexample = { ...point, vehicle: null, limit: 0 };
    expect(verdictWords(fleet, { verdict: 'broken', counterexample, failing: null })).toBe(
      `${shown} Rule: The most per fill, of Day crew diesel.`,
    );
    const failing = { count: 3, of: 12, ids: ['d-1'] };
    expect(verdictWords(fleet, { verdict: 'broken', counterexample, failing })).toBe(
      `${shown} So it is for 3 of 12. Rule: The most per fill, of Day crew diesel.`,
    );
  });
});
