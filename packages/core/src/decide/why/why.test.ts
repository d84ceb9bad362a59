import { describe, expect, it } from 'vitest';
import { plausibleAnswers, smallWorld } from '../../../test/small-world.ts';
import type { Fleet } from '../../fleet/index.ts';
import { zoneTable } from '../../units/index.ts';
import { decide } from '../decide.ts';
import { compile } from '../policy.ts';
import { NO_USAGE } from '../recorded-usage.ts';
import type { DecisionRequest, Used, Zones } from '../types.ts';
import { changed } from './apply.ts';
import { choicesOf } from './choices.ts';
import type { Change, WhyCase } from './types.ts';
import { clash, decideCase, why } from './why.ts';

const FLEETS = Number(process.env.FILLWRIGHT_WHY_FLEETS ?? 60);
const known = new Map<string, ReturnType<typeof zoneTable>>();
const zones: Zones = (zone) => {
  const table = known.get(zone) ?? zoneTable(zone);
  known.set(zone, table);
  return table;
};

/** A small world with a request; mostly one that was approved before a few things of the fleet were changed. */
function caseOf(seed: number): WhyCase {
  const { world, made, good } = worldOf(seed);
  const { random } = world;
  const fleet = good && seed % 6 !== 0 ? broken(made, good, random) : made;
  const request = good ?? world.request();
  const usage = world.usage();
  const used: Record<string, Used> = {};
  const readings: Record<string, number> = {};
  const holders = [...fleet.drivers.keys()].map((d) => `driver:${d}`);
  holders.push(...[...fleet.vehicles.keys()].map((v) => `vehicle:${v}`));
  for (const holder of holders)
    for (const a of fleet.allowances.keys()) {
      const u = usage.used(holder, a, request.site, request.at);
      if (u && seed % 2 === 0) used[`${holder} ${a}`] = u;
    }
  const reading = usage.lastReading('v0', 'odometer');
  if (reading !== undefined && seed % 5 === 0)
    for (const v of fleet.vehicles.keys()) for (const k of ['odometer', 'hours']) readings[`${v} ${k}`] = reading;
  return { fleet, request, usage: { used, readings, cutOff: seed % 4 === 0 && usage.cutOff } };
}

function worldOf(seed: number) {
  for (let n = 0; ; n++) {
    const world = smallWorld(40_000 + seed * 100 + n);
    const { fleet: made } = world;
    const policy = compile(made, zones);
    const ask = () => ({ ...world.request(), pin: 'right' as const, answers: plausibleAnswers(made) });
    const good = Array.from({ length: 40 }, ask).find((r) => decide(policy, r, NO_USAGE).approved);
    if (good || n === 99) return { world, made, good };
  }
}

/** The fleet with one to three things changed that this request needs. */
function broken(fleet: Fleet, request: DecisionRequest, random: () => number): Fleet {
  const cards = [...fleet.credentials.values()].filter((c) => request.credentials.includes(c.number));
  const { drivers, vehicles, allowances, credentials, sites } = fleet;
  const each = <T extends { id: string }>(rows: ReadonlyMap<string, T>, has: (row: T) => boolean, make: object) =>
    new Map([...rows].map(([id, row]) => [id, has(row) ? { ...row, ...make } : row] as const));
  const own = (id: string) => cards.some((c) => c.driver === id || c.vehicle === id);
  const ways: (() => Partial<Fleet>)[] = [
    () => ({ credentials: each(credentials, (c) => cards.includes(c), { stopped: true }) }),
    () => ({ drivers: each(drivers, (d) => own(d.id), { active: false }) }),
    () => ({ vehicles: each(vehicles, (v) => own(v.id), { sites: [] }) }),
    () => ({ drivers: each(drivers, (d) => own(d.id), { validUntil: '2026-01-01' }) }),
    () => ({ allowances: each(allowances, () => true, { products: [] }) }),
    () => ({ allowances: each(allowances, () => true, { times: [{ days: [3], from: 0, to: 60 }] }) }),
    () => ({ allowances: each(allowances, () => true, { perDay: 0, fillsPerDay: 0 }) }),
    () => ({ sites: each(sites, (s) => s.id === request.site, { active: false }) }),
  ];
  let next = fleet;
  for (let n = 1 + Math.floor(random() * 3); n > 0; n--)
    next = { ...next, ...(ways[Math.floor(random() * ways.length)] as () => Partial<Fleet>)() };
  return next;
}

/** Every set of `size` choices that do not clash, tried on the whole fleet without any pruning. */
function brute(base: WhyCase, choices: readonly Change[], size: number, wanted: number): Change[][] {
  const out: Change[][] = [];
  const grow = (from: number, set: Change[]): void => {
    if (set.length === size) {
      const d = decideCase(changed(base, set, zones), base, zones);
      if (d.approved && d.limit >= wanted) out.push(set);
      return;
    }
    for (let i = from; i < choices.length; i++) {
      const c = choices[i] as Change;
      if (!set.some((s) => clash(s, c))) grow(i + 1, [...set, c]);
    }
  };
  grow(0, []);
  return out;
}

/** The earliest time of those that differ in the time alone. */
function earliest(sets: readonly (readonly Change[])[]): Record<string, number> {
  const out: Record<string, number> = {};
  for (const set of sets) {
    const at = set.find((c) => c.kind === 'time')?.at ?? 0;
    out[timeless(set)] = Math.min(out[timeless(set)] ?? at, at);
  }
  return out;
}

const timeless = (set: readonly Change[]) => JSON.stringify(set.map((c) => (c.kind === 'time' ? 'time' : c)));

describe('two changes', () => {
  it('clash where both cannot be made: of one kind, about one thing', () => {
    const field = (table: 'drivers' | 'vehicles', id: string, name: string): Change => ({
      ...{ kind: 'field', table, id, field: name, to: true },
    });
    const give = (table: 'drivers' | 'vehicles', id: string, allowance: string): Change => ({
      ...{ kind: 'give', table, id, allowance },
    });
    const present = (table: 'drivers' | 'vehicles', id: string): Change => ({
      ...{ kind: 'present', table, id, number: id, alike: 0 },
    });
    // Those of one word are about one thing.
    const words: [string, Change][] = [
      ...(['h1', 'h2'] as const).map((hose): [string, Change] => ['hose', { kind: 'hose', hose }]),
      ...[1, 2].map((at): [string, Change] => ['time', { kind: 'time', at }]),
      ['pin', { kind: 'pin' }],
      ['pin', { kind: 'pin' }],
      ['link', { kind: 'link' }],
      ...['q1', 'q2'].flatMap((question) =>
        ['1', '2'].map((answer): [string, Change] => [`answer ${question}`, { kind: 'answer', question, answer }]),
      ),
      ...(['drivers', 'vehicles'] as const).flatMap((table) =>
        ['x', 'y'].flatMap((id): [string, Change][] => [
          [`present ${table}`, present(table, id)],
          [`give ${table} ${id}`, give(table, id, 'a1')],
          [`give ${table} ${id}`, give(table, id, 'a2')],
          [`field ${table} ${id} active`, field(table, id, 'active')],
          [`field ${table} ${id} active`, field(table, id, 'active')],
          [`field ${table} ${id} sites`, field(table, id, 'sites')],
        ]),
      ),
    ];
    for (const [a, x] of words) for (const [b, y] of words) expect(clash(x, y), JSON.stringify([x, y])).toBe(a === b);
  });
});

describe('why', () => {
  it('gives every smallest set of changes, confirmed on the whole fleet, and none is smaller', () => {
    const sizes = [0, 0, 0, 0];
    for (let seed = 1; seed <= FLEETS; seed++) {
      const base = caseOf(seed);
      const wanted = seed % 3 === 0 ? 60_000_000 : 0;
      const answer = why(base, zones, wanted);
      const before = decideCase(base, base, zones);
      expect(answer.rule).toBe(before.by.rule);
      if (before.approved && before.limit >= wanted) {
        expect(answer.remedies).toEqual([]);
        continue;
      }
      const choices = choicesOf(base, wanted, zones);
      const size = answer.remedies[0]?.changes.length ?? 0;
      sizes[size] = (sizes[size] ?? 0) + 1;
      for (const r of answer.remedies) {
        expect(r.changes).toHaveLength(size);
        const d = decideCase(changed(base, r.changes, zones), base, zones);
        expect(d.approved && d.limit >= wanted).toBe(true);
        expect(r.decision.approved && d.approved && r.decision.limit === d.limit).toBe(true);
      }
      // All sets of three are many: they are tried in full where the choices are few.
      const upTo = size === 0 ? (choices.length <= 22 ? 3 : 2) : Math.min(size, choices.length <= 22 ? 3 : 2);
      for (let n = 1; n <= upTo; n++) {
        const all = earliest(brute(base, choices, n, wanted));
        if (n < size || size === 0) expect({ seed, n, all }).toEqual({ seed, n, all: {} });
        else {
          expect({ seed, all: earliest(answer.remedies.map((r) => r.changes)) }).toEqual({ seed, all });
          expect(answer.remedies.length).toBe(Object.keys(all).length);
        }
      }
    }
    expect(sizes[1]).toBeGreaterThan(10);
    expect(sizes[2]).toBeGreaterThan(5);
    expect(sizes[3]).toBeGreaterThan(2);
  });
});
