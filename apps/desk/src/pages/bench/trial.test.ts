import { compile } from '@fillwright/core/decide';
import { emptyFleet, type Fleet, newRow } from '@fillwright/core/fleet';
import { describe, expect, it } from 'vitest';
import { UTC, zoneKnown } from '../../show/site-time.ts';
import {
  credentialOf,
  momentOf,
  NOTHING_USED,
  outcomeOf,
  presented,
  questionsAsked,
  requestOf,
  type Trial,
  usageOf,
  usedKey,
} from './trial.ts';

const one = <T extends { id: string }>(row: T): Map<string, T> => new Map([[row.id, row]]);
const gallons = (n: number) => Math.round(n * 3_785_411.784);
const fleet: Fleet = {
  ...emptyFleet({ name: 'Invented', units: 'us', currency: 'USD' }),
  products: one(newRow('products', { id: 'diesel', name: 'Diesel' })),
  sites: one(
    newRow('sites', { id: 'north', name: 'North', zone: 'America/Chicago', identify: 'either', questions: ['odo'] }),
  ),
  hoses: one(
    newRow('hoses', { id: 'h1', site: 'north', island: 'i', pump: 'p', product: 'diesel', mostPerFill: gallons(100) }),
  ),
  questions: new Map([
    ['odo', newRow('questions', { id: 'odo', prompt: 'Odometer' })],
    ['hours', newRow('questions', { id: 'hours', prompt: 'Hours', kind: 'hours' })],
  ]),
  allowances: one(newRow('allowances', { id: 'day', name: 'Day', products: ['diesel'], perDay: gallons(30) })),
  drivers: one(newRow('drivers', { id: 'ada', name: 'Ada Fenn', allowances: ['day'] })),
  vehicles: one(newRow('vehicles', { id: 'v7', name: 'Truck 7', questions: ['hours'] })),
  credentials: new Map([
    ['c0', newRow('credentials', { id: 'c0', number: '1000', driver: 'ada', stopped: true })],
    ['c1', newRow('credentials', { id: 'c1', number: '1001', driver: 'ada' })],
    ['c2', newRow('credentials', { id: 'c2', number: '2001', vehicle: 'v7' })],
  ]),
};
const policy = compile(fleet, (z) => zoneKnown(z) ?? UTC);
const trial: Trial = {
  site: 'north',
  hose: 'h1',
  credentials: ['', ''],
  pin: 'notAsked',
  answers: {},
  date: '2026-11-25',
  time: '06:12',
  used: {},
  readings: {},
  cutOff: false,
};
const tried = (change: Partial<Trial>) => {
  const t = { ...trial, ...change };
  const m = momentOf(t, fleet);
  if (!('at' in m)) throw new Error(m.wrong);
  return outcomeOf(policy, requestOf(t, m.at), usageOf(t));
};

describe('the bench', () => {
  it('declines nothing before something has been presented', () => {
    expect(tried({}).kind).toBe('nothing');
    expect(tried({ credentials: [' ', ''] }).kind).toBe('nothing');
  });
  it('says what the terminal would ask next, until nothing is missing', () => {
    expect(tried({ credentials: ['1001', ''] })).toMatchObject({ kind: 'asks', ask: { ask: 'pin' } });
    expect(tried({ credentials: ['1001', ''], pin: 'right', answers: { odo: ' ' } })).toMatchObject({
      kind: 'asks',
      ask: { ask: 'question', question: 'odo' },
    });
    expect(tried({ credentials: ['1001', ''], pin: 'right', answers: { odo: '12' } })).toMatchObject({
      kind: 'approved',
      decision: { approved: true, limit: gallons(30), by: { rule: 'per-day' } },
    });
  });
  it('declines what is refused, and counts what was used', () => {
    expect(tried({ credentials: ['9', ''] }).kind).toBe('declined');
    const used = { [usedKey('driver:ada', 'day')]: { ...NOTHING_USED, day: gallons(30) } };
    expect(tried({ credentials: ['1001', ''], pin: 'right', answers: { odo: '12' }, used })).toMatchObject({
      kind: 'declined',
      decision: { by: { rule: 'per-day' } },
    });
  });
  it('takes the moment by the clock on the wall', () => {
    expect(momentOf(trial, fleet)).toEqual({ at: Date.UTC(2026, 10, 25, 12, 12) });
    expect(momentOf({ ...trial, date: '2026-11-01', time: '01:30' }, fleet)).toMatchObject({
      note: expect.any(String),
    });
    expect(momentOf({ ...trial, date: '2026-03-08', time: '02:30' }, fleet)).toHaveProperty('wrong');
    expect(momentOf({ ...trial, time: 'noon' }, fleet)).toHaveProperty('wrong');
  });
  it('knows who is presented and what they are asked', () => {
    expect(presented(fleet, ['1001', '2001', ''])).toEqual({ driver: 'ada', vehicle: 'v7' });
    expect(questionsAsked(fleet, 'north', { driver: 'ada' }).map((q) => q.id)).toEqual(['odo']);
    // Truck 7 counts miles, so nobody asks for its hours.
    expect(questionsAsked(fleet, 'north', { vehicle: 'v7' }).map((q) => q.id)).toEqual(['odo']);
    expect(credentialOf(fleet, 'driver', 'ada')).toBe('1001');
    expect(credentialOf(fleet, 'vehicle', 'nobody')).toBe('');
  });
});
