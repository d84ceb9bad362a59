import { describe, expect, it } from 'vitest';
import { plausibleAnswers, smallWorld } from '../../test/small-world.ts';
import { zoneTable } from '../units/index.ts';
import { askOf, asks } from './asks.ts';
import { decide, plain } from './decide.ts';
import { LookedAt, onRecord } from './on-record.ts';
import { compile } from './policy.ts';
import { NO_USAGE } from './recorded-usage.ts';
import type { Ask, Step, Usage } from './types.ts';

const tables = new Map<string, ReturnType<typeof zoneTable>>();
const zones = (zone: string) => {
  const known = tables.get(zone) ?? zoneTable(zone, 2025, 2028);
  tables.set(zone, known);
  return known;
};

/** A small world in which nothing refuses before somebody is asked something. */
function open(seed: number) {
  const world = smallWorld(seed);
  const change = (table: 'sites' | 'hoses' | 'drivers' | 'vehicles' | 'credentials' | 'questions', by: object) => {
    const rows = world.fleet[table] as unknown as Map<string, object>;
    for (const [id, row] of [...rows]) rows.set(id, { ...row, ...by });
  };
  const always = { active: true, validFrom: null, validUntil: null, sites: null };
  const questions = [...world.fleet.questions.keys()];
  const identify = (['driver', 'vehicle', 'both', 'either'] as const)[seed % 4];
  change('sites', { active: true, closed: [], pin: seed % 3 > 0, identify });
  change('hoses', { active: true, terminals: ['t0', 't1'] });
  change('drivers', always);
  change('vehicles', { ...always, counter: 'odometer', questions });
  change('credentials', { stopped: false, validFrom: null, validUntil: null });
  change('questions', { kind: 'odometer', digits: 6, leastAdvance: 0, mostAdvance: 50, whenImplausible: 'note' });
  return world;
}

describe('what a terminal asks next', () => {
  it('leads through credential, PIN and questions to an answer that waits for nothing', () => {
    const asked = new Map<string, number>();
    for (let seed = 1; seed <= 600; seed++) {
      const { fleet, ...world } = open(1 + (seed % 150));
      const policy = compile(fleet, zones);
      let request = { ...world.request(), pin: 'notAsked' as 'notAsked' | 'right', answers: {} };
      request = { ...request, site: fleet.hoses.get(request.hose)?.site ?? request.site };
      if (seed % 5 === 0) request = { ...request, credentials: [] };
      for (let n = 0; ; n++) {
        const ask: Ask | null = asks(policy, request);
        const decision = decide(policy, request, NO_USAGE);
        expect(askOf(decision)).toEqual(ask);
        expect(ask !== null).toBe(!decision.approved && decision.by.says === 'ask');
        if (ask === null) break;
        const { rule, on, facts } = decision.by;
        const named = `${ask.ask} ${ask.ask === 'credential' ? ask.of : ''}`;
        asked.set(named, (asked.get(named) ?? 0) + 1);
        // Never more than there is to ask.
        expect(n).toBeLessThan(2 + fleet.questions.size);
        if (ask.ask === 'credential') {
          expect(ask.of).toBe(rule === 'card-known' ? 'either' : facts?.missing);
          break;
        }
        if (ask.ask === 'pin') expect(request.pin).toBe('notAsked');
        else expect(on).toEqual({ table: 'questions', id: ask.question });
        request =
          ask.ask === 'pin'
            ? { ...request, pin: 'right' }
            : { ...request, answers: { ...request.answers, [ask.question]: '5' } };
      }
    }
    for (const named of ['credential either', 'credential driver', 'credential vehicle', 'pin ', 'question '])
      expect(asked.get(named), named).toBeGreaterThan(5);
  });
});

describe('what goes on the record', () => {
  it('is enough to decide again, the usage as it was asked for', () => {
    let [useds, readings] = [0, 0];
    for (let seed = 1; seed <= 300; seed++) {
      const { fleet, ...world } = open(seed);
      const policy = compile(fleet, zones);
      const ask = () => ({ ...world.request(), pin: 'right' as const, answers: plausibleAnswers(fleet) });
      const request = Array.from({ length: 8 }, ask).find((r) => decide(policy, r, NO_USAGE).approved) ?? ask();
      const usage = world.usage();
      const looked = new LookedAt(usage);
      const decision = plain(decide(policy, request, looked));
      expect(decision).toEqual(plain(decide(policy, request, usage)));
      const kept = looked.asked(request);
      expect(kept.cutOff).toBe(usage.cutOff);
      expect([kept.pin, kept.answers]).toEqual([request.pin, request.answers]);
      expect(kept.answers).not.toBe(request.answers);
      for (const [name, used] of Object.entries(kept.used)) {
        const [holder = '', allowance = ''] = name.split(' ');
        const was = usage.used(holder, allowance, request.site, request.at);
        expect(used).toEqual(was ?? { day: 0, week: 0, month: 0, fillsToday: 0 });
        useds++;
      }
      for (const [name, reading] of Object.entries(kept.readings)) {
        const [vehicle = '', kind = ''] = name.split(' ');
        expect(reading).toBe(usage.lastReading(vehicle, kind as 'odometer') ?? null);
        readings++;
      }
      const again: Usage = {
        cutOff: kept.cutOff,
        used: (holder, allowance) => kept.used[`${holder} ${allowance}`],
        lastReading: (vehicle, kind) => kept.readings[`${vehicle} ${kind}`] ?? undefined,
      };
      expect(plain(decide(policy, request, again))).toEqual(decision);
    }
    expect(Math.min(useds, readings)).toBeGreaterThan(20);
  });

  it('names nothing but what a step says, cuts long words, and shows four digits of a number', () => {
    const long = 'x'.repeat(201);
    const on = { table: 'credentials', id: 'c1', name: 'not for the record' };
    const steps: Step[] = [
      { rule: 'card-known', says: 'refuse', facts: { number: '123456789', why: 'twice' } },
      { rule: 'card-stopped', says: 'pass', on },
      { rule: 'per-day', says: 'limit', limit: 0, facts: { used: 7, holder: long } },
    ];
    expect(onRecord(steps)).toStrictEqual([
      { rule: 'card-known', says: 'refuse', facts: { number: '…6789', why: 'twice' } },
      { rule: 'card-stopped', says: 'pass', on: { table: 'credentials', id: 'c1' } },
      { rule: 'per-day', says: 'limit', limit: 0, facts: { used: 7, holder: 'x'.repeat(200) } },
    ]);
  });
});
