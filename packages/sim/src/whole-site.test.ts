import { createHash } from 'node:crypto';
import { askOf, compile, type DecisionRequest, decide, RULES, Tally } from '@fillwright/core/decide';
import {
  bootState,
  type DecisionFacts,
  type Effect,
  type Entry,
  type Gathered,
  type IslandEvent,
  type IslandState,
  planOf,
  REASONS,
  recover,
  step,
} from '@fillwright/core/island';
import { zoneTable } from '@fillwright/core/units';
import { describe, expect, it } from 'vitest';
import { virtualClock } from './clock.ts';
import { demoPin, harrowmere } from './harrowmere/index.ts';
import { pastOf } from './past/past.ts';
import { AN_HOUR, type TrafficOptions, traffic } from './traffic.ts';
import { simulatedYard, yardShapeOf } from './yard.ts';

const SITE = 'highfell';
const START = Date.UTC(2026, 10, 24, 14);

/** A whole site in memory: the real machine, the real decision, a simulated yard and people, all by one virtual clock. */
function site(seed: string, hours: number, past: Pick<TrafficOptions, 'counters' | 'place'> = {}) {
  const fleet = harrowmere();
  const zone = zoneTable('America/Denver', 2026, 2028);
  const policy = compile(fleet, (name) => zoneTable(name, 2026, 2028));
  const usage = new Tally(() => zone);
  const clock = virtualClock(START);
  const yard = simulatedYard(yardShapeOf(fleet, SITE), { clock, seed });
  const plan = planOf(fleet, SITE, 1);
  if (!plan) throw new Error('no such site');
  let state: IslandState = bootState(plan);
  const entries: Entry[] = [];
  const timers = new Map<string, () => void>();
  const ids = { epoch: 'e', site: SITE };
  const people = traffic({ clock, seed, fleet, site: SITE, yard, pinOf: demoPin, everyMin: 3, ...past });

  const request = (terminal: string, hose: string, g: Gathered): DecisionRequest => ({
    site: SITE,
    terminal,
    hose,
    at: clock.now(),
    credentials: g.credentials,
    pin: g.pin,
    answers: g.answers,
  });
  const feed = (event: Record<string, unknown>): void => {
    const next = step(state, { ...event, at: clock.now() } as unknown as IslandEvent);
    state = next.state;
    for (const e of next.effects) carry(e);
  };
  const soon = (event: Record<string, unknown>) => void clock.after(20, () => feed(event));
  const facts = (terminal: string, hose: string, g: Gathered): DecisionFacts => {
    const d = decide(policy, request(terminal, hose, g), usage);
    const steps = d.steps.map(({ rule, says }) => ({ rule, says }));
    if (!d.approved) return { approved: false, rule: d.by.rule, steps };
    const { limit, charged, product, driver, vehicle } = d;
    return {
      approved: true,
      limit,
      rule: d.by.rule,
      ...(driver === undefined ? {} : { driver }),
      ...(vehicle === undefined ? {} : { vehicle }),
      charged: charged.map(({ holder, allowance }) => ({ holder, allowance })),
      product,
      price: null,
      steps,
      notes: [],
      cutOff: false,
    };
  };
  function carry(e: Effect): void {
    if (e.do === 'journal') {
      entries.push(e.entry);
      if (e.tag !== undefined) soon({ kind: 'journalled', tag: e.tag, ref: { epoch: ids.epoch, seq: entries.length } });
    } else if (e.do === 'arm') yard.arm(e);
    else if (e.do === 'disarm') yard.disarm(e.hose);
    else if (e.do === 'start')
      timers.set(
        JSON.stringify(e.timer),
        clock.after(e.ms, () => feed({ kind: 'due', timer: e.timer })),
      );
    else if (e.do === 'stop') timers.get(JSON.stringify(e.timer))?.();
    else if (e.do === 'show') people.see(e.terminal, e);
    else if (e.do === 'checkPin')
      soon({
        kind: 'pinChecked',
        terminal: e.terminal,
        session: e.session,
        result: demoPin(e.driver) === e.digits ? 'right' : 'wrong',
      });
    else if (e.do === 'decide')
      soon({
        kind: 'decided',
        terminal: e.terminal,
        session: e.session,
        decision: facts(e.terminal, e.hose, e.gathered),
      });
    else if (e.do === 'ask') {
      const all = Object.values(plan?.hoses ?? {})
        .filter((h) => h.terminals.includes(e.terminal))
        .map((h) => decide(policy, request(e.terminal, h.id, e.gathered), usage));
      const ask = all.map(askOf).find((a) => a !== null);
      const driver = all.find((d) => d.driver !== undefined)?.driver;
      const none = !ask && !all.some((d) => d.approved);
      soon({
        kind: 'asks',
        terminal: e.terminal,
        session: e.session,
        asks: ask ? [ask] : [],
        credentials: e.gathered.credentials.map((_, i) => `c${i}`),
        ...(driver === undefined ? {} : { driver }),
        ...(none ? { refused: { rule: all[0]?.by.rule ?? 'hose-known', steps: [] } } : {}),
      });
    }
  }
  void yard.start(feed);
  clock.runUntil(START + hours * 3_600_000);
  return { entries, state: () => state, yard, clock, came: people.came(), stop: () => people.stop() };
}

const digest = (entries: readonly Entry[]) => createHash('sha256').update(JSON.stringify(entries)).digest('hex');

describe('a working day at Highfell', () => {
  const day = site('day', 10);
  const ends = day.entries.filter((e) => e.kind === 'ended');

  it('serves people and refuses some', () => {
    expect(day.came).toBeGreaterThan(40);
    expect(ends.filter((e) => e.pulses > 0).length).toBeGreaterThan(20);
    expect(day.entries.some((e) => e.kind === 'refused')).toBe(true);
    expect(new Set(ends.map((e) => e.reason)).has('limit')).toBe(true);
  });

  it('accounts for every pulse of every hose', () => {
    const told = [...ends, ...day.entries.filter((e) => e.kind === 'alarm')].reduce((n, e) => n + (e.pulses ?? 0), 0);
    const open = Object.values(day.state().hoses).reduce((n, h) => n + (h.fill?.pulses ?? 0), 0);
    const counted = Object.values(day.state().hoses).reduce((n, h) => n + (h.count ?? 0), 0);
    expect(told + open).toBe(counted);
    expect(day.entries.filter((e) => e.kind === 'alarm')).toEqual([]);
  });

  it('ends at its limits to a few pulses', () => {
    const limits = new Map<string, number>();
    for (const [i, e] of day.entries.entries())
      if (e.kind === 'authorised') limits.set(`${SITE}.e.${i + 1}`, e.limitPulses);
    const off = ends.filter((e) => e.reason === 'limit').map((e) => e.pulses - (limits.get(e.fill) ?? 0));
    expect(off.length).toBeGreaterThan(3);
    // At 20 gal/min and 100 pulses a gallon a pulse lasts 30 ms at full and 150 ms at low flow.
    for (const n of off) expect(n).toBeLessThanOrEqual(3);
    for (const n of off) expect(n).toBeGreaterThanOrEqual(-12);
  });

  it('is the same to the letter from the same seed', () => {
    expect(digest(site('day', 1).entries)).toBe(digest(site('day', 1).entries));
    expect(digest(site('other', 1).entries)).not.toBe(digest(site('day', 1).entries));
  });

  it('has nothing in flight that its journal does not tell of', () => {
    const placed = day.entries.map((entry, i) => ({ ref: { epoch: 'e', seq: i + 1 }, entry }));
    const flying = Object.values(day.state().hoses).filter((h) => h.fill?.id);
    expect(
      recover(SITE, placed, START)
        .interrupted.map((e) => e.fill)
        .sort(),
    ).toEqual(flying.map((h) => h.fill?.id).sort());
  });
});

it('is come to by vehicles with a past only for what they used since they were filled', () => {
  const fleet = harrowmere();
  const zones = (name: string) => zoneTable(name, 2025, 2028);
  const { counters } = pastOf({ seed: 1, fleet, epoch: 'p', revision: 1, until: START, weeks: 4, zones });
  const { entries, stop } = site('thirst', 30, { counters, place: { number: 0, of: 1 } });
  stop();
  const last = new Map(Object.entries(counters.filled ?? {}));
  const who = new Map<string, string>();
  let [fills, again] = [0, 0];
  for (const [i, e] of entries.entries()) {
    if (e.kind === 'authorised' && e.vehicle !== undefined) who.set(`${SITE}.e.${i + 1}`, e.vehicle);
    if (e.kind !== 'ended' || e.pulses === 0) continue;
    const vehicle = who.get(e.fill) ?? '';
    const kind = (['odometer', 'hours'] as const).find((k) => counters.uses?.[`${vehicle}/${k}`] !== undefined);
    const product = fleet.hoses.get(e.hose)?.product ?? '';
    if (!kind || fleet.products.get(product)?.kind === 'def') continue;
    const hours = (e.at - (last.get(vehicle) ?? 0)) / 3_600_000;
    const used = hours * AN_HOUR[kind] * (counters.uses?.[`${vehicle}/${kind}`] as number);
    // A tenth more than was used, and what runs on while the hose closes.
    expect(e.ul, `${vehicle} after ${hours} h`).toBeLessThan(used * 1.1 + 2_000_000);
    if ((last.get(vehicle) ?? 0) > START) again++;
    last.set(vehicle, e.at);
    fills++;
  }
  expect(fills).toBeGreaterThan(20);
  expect(again).toBeGreaterThan(2);
});

it('has words for every rule of a decision', () => {
  for (const rule of Object.keys(RULES)) expect(REASONS[rule], rule).toBeDefined();
});
