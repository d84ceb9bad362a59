import { describe, expect, it } from 'vitest';
import { approval, driver, PLAN } from '../../test/island/yard.ts';
import { BLOCKS } from './blocks.ts';
import type { Block, EndReason, IslandEvent } from './types.ts';

type Bare = IslandEvent extends infer E ? (E extends unknown ? Omit<E, 'at'> : never) : never;
type Driver = ReturnType<typeof driver>;

interface Rule {
  readonly block: Block;
  readonly ends: EndReason;
  /** What happens, and what makes it whole again; `by` a person where nothing else does. */
  readonly happens: readonly Bare[];
  readonly over: readonly Bare[];
  readonly site?: true;
}
const cleared = (block: Block, hose?: string): Bare => ({
  kind: 'cleared',
  block,
  by: 'A. Keeper',
  ...(hose === undefined ? {} : { hose }),
});
const both = (make: (tank: string) => Bare): Bare[] => ['a', 'b'].map(make);

const RULES: Readonly<Record<string, Rule>> = {
  'emergency stop': {
    block: 'eStop',
    ends: 'eStop',
    happens: [{ kind: 'eStop', on: true }],
    over: [{ kind: 'eStop', on: false }, cleared('eStop')],
    site: true,
  },
  'mains lost': {
    block: 'mains',
    ends: 'mains',
    happens: [{ kind: 'mains', on: false }],
    over: [{ kind: 'mains', on: true }],
    site: true,
  },
  'tank low level': {
    block: 'tankLow',
    ends: 'tankLow',
    happens: both((tank) => ({ kind: 'level', tank, ul: 99_000_000 })),
    over: [{ kind: 'level', tank: 'a', ul: 200_000_000 }],
  },
  'tank high water': {
    block: 'water',
    ends: 'water',
    happens: [{ kind: 'level', tank: 'a', ul: 900_000_000, waterMm: 51 }],
    over: [{ kind: 'level', tank: 'a', ul: 900_000_000, waterMm: 20 }],
  },
  'probe lost': {
    block: 'probe',
    ends: 'probe',
    happens: [{ kind: 'probeLost', tank: 'a' }],
    over: [{ kind: 'level', tank: 'a', ul: 900_000_000 }],
  },
  'dispenser fault': {
    block: 'device',
    ends: 'device',
    happens: [{ kind: 'fault', hose: 'h1', words: 'silent' }],
    over: [{ kind: 'returned', hose: 'h1', count: 1_050, lifted: false }],
  },
  'hose taken out of service': {
    block: 'service',
    ends: 'service',
    happens: [{ kind: 'service', hose: 'h1', out: true, by: 'A. Keeper' }],
    over: [{ kind: 'service', hose: 'h1', out: false, by: 'A. Keeper' }],
  },
  'pulser in doubt': {
    block: 'doubt',
    ends: 'doubt',
    happens: [{ kind: 'pulserDoubt', hose: 'h1', words: 'both channels at once' }],
    over: [cleared('doubt', 'h1')],
  },
};

function endFill(d: Driver, count = 1_050): void {
  d.feed({ kind: 'disarmed', hose: 'h1', count });
  d.due('hose', 'h1', 'settle');
  d.durable('ended');
}

describe.each(Object.entries(RULES))('%s', (_name, rule) => {
  it('stops what flows, says why on the record, and serves again only when it is over', () => {
    const d = driver().ready().flowing();
    const before = d.entries().length;
    const effects = rule.happens.flatMap((e) => d.feed(e));
    expect(effects).toContainEqual({ do: 'disarm', hose: 'h1' });
    expect(d.hose()).toMatchObject({ name: 'stopping', blocks: [rule.block] });
    // Whoever still stands at the terminal reads why.
    expect(d.session()).toMatchObject({ name: rule.site ? 'out' : 'refused', why: rule.block });
    expect(d.entries().some((e) => e.kind === 'alarm')).toBe(true);
    const fault = rule.block === 'device';
    if (fault) for (const e of rule.over) d.feed(e);
    endFill(d);
    expect(d.entries().findLast((e) => e.kind === 'ended')).toMatchObject({ reason: rule.ends, pulses: 50 });
    if (!fault) {
      expect(d.hose().name).toBe('blocked');
      for (const e of rule.over) d.feed(e);
    }
    expect(d.hose()).toMatchObject({ name: 'idle', blocks: [] });
    const by = d
      .entries()
      .slice(before)
      .filter((e) => e.kind === 'resumed' && e.hose === 'h1' && e.block === rule.block);
    expect(by).toHaveLength(1);
    if (BLOCKS[rule.block].lifted === 'person') expect(by[0]).toMatchObject({ by: 'A. Keeper' });
    expect(d.session().name).toBe(rule.site ? 'idle' : 'refused');
  });

  it('keeps a hose from being armed that was only asked for', () => {
    const d = driver().ready().deciding();
    for (const e of rule.happens) d.feed(e);
    d.decided();
    expect(d.effects().some((e) => e.do === 'arm')).toBe(false);
    expect(d.hose().name).toBe('blocked');
    expect(d.session().name).toBe(rule.site ? 'out' : 'refused');
    const late = driver().ready().deciding().decided();
    for (const e of rule.happens) late.feed(e);
    late.durable('authorised');
    expect(late.effects().some((e) => e.do === 'arm')).toBe(false);
    expect(late.entries().findLast((e) => e.kind === 'ended')).toMatchObject({ reason: rule.ends, pulses: 0 });
  });
});

describe('an urgent stop of a card', () => {
  const stop = (credentials = ['c1']): Bare => ({ kind: 'cardStopped', credentials });

  it('ends what flows on it, and leaves others alone', () => {
    const d = driver().ready().flowing();
    expect(d.feed(stop(['c2']))).toEqual([]);
    expect(d.feed(stop())).toContainEqual({ do: 'disarm', hose: 'h1' });
    expect(d.session()).toMatchObject({ name: 'refused', why: 'card-stopped' });
    endFill(d);
    expect(d.entries().findLast((e) => e.kind === 'ended')).toMatchObject({ reason: 'cardStopped', pulses: 50 });
    expect(d.hose()).toMatchObject({ name: 'idle', blocks: [] });
  });

  it('is in time at every step before', () => {
    const asked = driver().ready();
    asked.feed({ kind: 'credential', terminal: 't1', number: '1' });
    const session = () => asked.session().number;
    asked.feed({ kind: 'asks', terminal: 't1', session: session(), asks: [{ ask: 'pin' }], credentials: ['c1'] });
    asked.feed(stop());
    expect(asked.session()).toMatchObject({ name: 'refused', why: 'card-stopped' });

    const deciding = driver().ready().deciding();
    deciding.feed(stop());
    deciding.decided();
    expect(deciding.hose().name).toBe('idle');

    const recording = driver().ready().deciding().decided();
    recording.feed(stop());
    recording.durable('authorised');

    const arming = driver().ready().deciding().decided();
    arming.durable('authorised');
    arming.feed(stop());
    expect(arming.hose().name).toBe('stopping');

    const lifted = driver().ready().armed();
    lifted.feed({ kind: 'lifted', hose: 'h1' });
    lifted.feed(stop());
    expect(lifted.hose().name).toBe('stopping');
    for (const d of [asked, deciding, recording]) expect(d.effects().some((e) => e.do === 'arm')).toBe(false);
    for (const d of [asked, deciding, recording, arming])
      expect(d.entries()).toContainEqual(expect.objectContaining({ kind: 'refused', reason: 'card-stopped' }));
  });
});

describe('timers', () => {
  it.each([
    ['lift', 'notLifted', (d: Driver) => d],
    ['firstPulse', 'notBegun', (d: Driver) => lift(d)],
    ['noPulse', 'noPulses', (d: Driver) => flow(d)],
    ['longest', 'longest', (d: Driver) => flow(d)],
  ] as const)('%s ends the fill as %s, with its name on the record', (timer, reason, before) => {
    const d = before(driver().ready().armed());
    d.due('hose', 'h1', timer);
    d.feed({ kind: 'disarmed', hose: 'h1', count: d.hose().count ?? 0 });
    d.due('hose', 'h1', 'settle');
    expect(d.entries().findLast((e) => e.kind === 'ended')).toMatchObject({ reason, timers: [timer] });
  });
  function lift(d: Driver): Driver {
    d.feed({ kind: 'lifted', hose: 'h1' });
    return d;
  }
  function flow(d: Driver): Driver {
    lift(d);
    d.wait(1_000);
    d.feed({ kind: 'pulses', hose: 'h1', count: 1_040 });
    return d;
  }

  it('writes down that a person gave no answer, and lets the refused screen go', () => {
    const d = driver().ready();
    d.feed({ kind: 'credential', terminal: 't1', number: '1' });
    const session = d.session().number;
    d.feed({ kind: 'asks', terminal: 't1', session, asks: [{ ask: 'pin' }], credentials: ['c1'], driver: 'd1' });
    d.due('terminal', 't1', 'answer');
    expect(d.session().name).toBe('idle');
    expect(d.entries().at(-1)).toMatchObject({ kind: 'refused', reason: 'noAnswerInTime', driver: 'd1' });
    d.feed({ kind: 'credential', terminal: 't1', number: '1' });
    d.due('terminal', 't1', 'edge');
    expect(d.session()).toMatchObject({ name: 'refused', why: 'noAnswer' });
    d.due('terminal', 't1', 'shown');
    expect(d.session().name).toBe('idle');
  });
});

it('serves two terminals at once, each person in their own language, and frees a terminal while its first fill flows', () => {
  const d = driver().ready();
  d.feed({ kind: 'language', terminal: 't1', language: 'es' });
  d.flowing('t1', 'h1');
  d.feed({ kind: 'language', terminal: 't2', language: 'fr' });
  d.deciding('t2', 'h1');
  const words = d.effects().findLast((e) => e.do === 'show' && e.terminal === 't2');
  expect(words).toMatchObject({ screen: 'busy', language: 'fr', data: { why: 'inUse' } });
  d.due('terminal', 't1', 'shown');
  expect(d.session('t1')).toMatchObject({ name: 'idle', language: 'en' });
  d.deciding('t1', 'h2').decided(approval(), 't1');
  d.durable('authorised');
  d.feed({ kind: 'armed', hose: 'h2', count: 1_000 });
  expect([d.hose('h1').name, d.hose('h2').name]).toEqual(['flowing', 'armed']);
  expect(d.hose('h1').fill?.grant).toMatchObject({ terminal: 't1', language: 'es' });
});

it('takes a hose out of service by a new plan only when its fill is over', () => {
  const d = driver().ready().flowing();
  const h1 = PLAN.hoses.h1;
  if (!h1) throw new Error('no hose');
  const plan = { ...PLAN, revision: 8, hoses: { ...PLAN.hoses, h1: { ...h1, active: false } } };
  expect(d.feed({ kind: 'plan', plan, why: 'release' })).toEqual([{ do: 'planKept', revision: 8 }]);
  expect(d.hose().name).toBe('flowing');
  d.feed({ kind: 'hung', hose: 'h1' });
  endFill(d);
  d.due('terminal', 't1', 'shown');
  d.feed({ kind: 'plan', plan, why: 'release' });
  expect(d.hose()).toMatchObject({ name: 'blocked', blocks: ['service'] });
  d.deciding('t1', 'h1');
  expect(d.hose().name).toBe('blocked');
  expect(d.effects().filter((e) => e.do === 'arm')).toHaveLength(1);
});
