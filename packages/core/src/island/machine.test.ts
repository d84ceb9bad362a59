import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { approval, driver, PLAN, REFUSAL } from '../../test/island/yard.ts';
import { bootState, isQuiet } from './boot.ts';
import { entrySchema, fillIdOf } from './entries.ts';
import { recover } from './recover.ts';
import { step } from './step.ts';
import type { Effect, IslandEvent, IslandState } from './types.ts';

type Move =
  | { readonly do: 'event'; readonly event: Record<string, unknown> }
  | { readonly do: 'answer'; readonly durable: boolean }
  | { readonly do: 'fire'; readonly which: number }
  | { readonly do: 'pulse'; readonly hose: string; readonly by: number }
  | { readonly do: 'decide'; readonly terminal: string; readonly approve: boolean }
  | { readonly do: 'asks'; readonly terminal: string }
  | { readonly do: 'yard' }
  /** A person who gets as far as an armed hose, unless something is in the way. */
  | { readonly do: 'visit'; readonly terminal: string; readonly hose: string }
  | { readonly do: 'wait'; readonly ms: number };

const terminal = fc.constantFrom('t1', 't2');
const hose = fc.constantFrom('h1', 'h2', 'h3');
const plain = fc.oneof(
  fc.record({ kind: fc.constant('credential'), terminal, number: fc.constant('77') }),
  fc.record({
    kind: fc.constant('key'),
    terminal,
    key: fc.constantFrom('1', '2', '3', 'enter', 'clear', 'cancel', 'cancel'),
  }),
  fc.record({ kind: fc.constant('choose'), terminal, hose }),
  fc.record({ kind: fc.constant('lifted'), hose }),
  fc.record({ kind: fc.constant('hung'), hose }),
  fc.record({ kind: fc.constant('fault'), hose, words: fc.constant('silent') }),
  fc.record({ kind: fc.constant('eStop'), on: fc.boolean() }),
  fc.record({ kind: fc.constant('mains'), on: fc.boolean() }),
  fc.record({
    kind: fc.constant('level'),
    tank: fc.constantFrom('a', 'b', 'c'),
    ul: fc.integer({ min: 0, max: 10 ** 9 }),
  }),
  fc.record({ kind: fc.constant('probeLost'), tank: fc.constantFrom('a', 'c') }),
  fc.record({ kind: fc.constant('service'), hose, out: fc.boolean(), by: fc.constant('x') }),
  fc.record({
    kind: fc.constant('cleared'),
    hose,
    block: fc.constantFrom('eStop', 'doubt', 'stray', 'valve'),
    by: fc.constant('x'),
  }),
);
const move: fc.Arbitrary<Move> = fc.oneof(
  { weight: 5, arbitrary: plain.map((event) => ({ do: 'event' as const, event })) },
  {
    weight: 7,
    arbitrary: fc.record({
      do: fc.constant('answer' as const),
      durable: fc.integer({ min: 0, max: 9 }).map((n) => n > 0),
    }),
  },
  { weight: 2, arbitrary: fc.record({ do: fc.constant('fire' as const), which: fc.nat(20) }) },
  {
    weight: 6,
    arbitrary: fc.record({
      do: fc.constant('pulse' as const),
      hose,
      by: fc.oneof(
        { weight: 9, arbitrary: fc.nat(60) },
        { weight: 1, arbitrary: fc.integer({ min: -50, max: 5_000 }) },
      ),
    }),
  },
  { weight: 4, arbitrary: fc.record({ do: fc.constant('decide' as const), terminal, approve: fc.boolean() }) },
  { weight: 4, arbitrary: fc.record({ do: fc.constant('asks' as const), terminal }) },
  { weight: 6, arbitrary: fc.constant({ do: 'yard' as const }) },
  { weight: 3, arbitrary: fc.record({ do: fc.constant('visit' as const), terminal, hose }) },
  { weight: 4, arbitrary: fc.record({ do: fc.constant('wait' as const), ms: fc.nat(3_000) }) },
);

/** A world that answers late, wrongly or not at all, and checks what the machine may never do. */
function world() {
  let state: IslandState = bootState(PLAN);
  let at = 1_800_000_000_000;
  let seq = 0;
  const counts: Record<string, number> = { h1: 500, h2: 500, h3: 500 };
  const waiting: { tag: string; kind: string; durable?: boolean; hose?: string }[] = [];
  const yard: { kind: 'armed' | 'disarmed'; hose: string }[] = [];
  const running = new Map<string, Extract<Effect, { do: 'start' }>['timer']>();
  const durableFills = new Set<string>();
  const mayArm = new Map<string, string>();
  const entries: unknown[] = [];
  let told = 0;

  function feed(event: Record<string, unknown>): void {
    const before = JSON.stringify(state);
    const next = step(state, { ...event, at } as unknown as IslandEvent);
    expect(JSON.stringify(state)).toBe(before);
    state = next.state;
    for (const e of next.effects) {
      if (e.do === 'journal') {
        const parsed = entrySchema.safeParse(e.entry);
        if (!parsed.success) throw new Error(`${JSON.stringify(e.entry)} ${parsed.error.message}`);
        entries.push(e.entry);
        if (e.tag !== undefined) waiting.push({ tag: e.tag, kind: e.entry.kind });
        const entry = e.entry;
        if (entry.kind === 'ended') {
          // A retry writes the same end again; it counts once.
          if (e.entry.kind === 'ended' && !ends.has(entry.fill)) told += entry.pulses;
          ends.add(entry.fill);
          expect(entry.ul).toBe(entry.pulses * 10_000);
        }
        if (entry.kind === 'alarm' && entry.pulses !== undefined) told += entry.pulses;
      } else if (e.do === 'arm') {
        // Only after its own authorisation is durable, once for each, and never after a disarm without another.
        expect(durableFills.has(e.fill)).toBe(true);
        expect(mayArm.get(e.hose)).toBe(e.fill);
        mayArm.delete(e.hose);
        expect(state.holds).toEqual([]);
        expect(state.hoses[e.hose]?.blocks).toEqual([]);
        yard.push({ kind: 'armed', hose: e.hose });
      } else if (e.do === 'disarm') {
        mayArm.delete(e.hose);
        yard.push({ kind: 'disarmed', hose: e.hose });
      } else if (e.do === 'start') running.set(`${e.timer.of}/${e.timer.id}/${e.timer.name}`, e.timer);
      else if (e.do === 'stop') running.delete(`${e.timer.of}/${e.timer.id}/${e.timer.name}`);
    }
    for (const [id, h] of Object.entries(state.hoses))
      if (['armed', 'lifted', 'flowing', 'slowing'].includes(h.name)) expect(h.blocks, id).toEqual([]);
  }
  const ends = new Set<string>();
  let visits = 0;

  function answer(durable: boolean): void {
    const w = waiting.shift();
    if (!w) return;
    if (!durable) {
      feed({ kind: 'notJournalled', tag: w.tag });
      return;
    }
    const ref = { epoch: 'e', seq: ++seq };
    const [of, id, what] = w.tag.split('|');
    if (of === 'hose' && what === 'auth' && id !== undefined) {
      durableFills.add(fillIdOf('yard', ref));
      mayArm.set(id, fillIdOf('yard', ref));
    }
    feed({ kind: 'journalled', tag: w.tag, ref });
  }
  function answerYard(): void {
    const y = yard.shift();
    if (y) feed({ kind: y.kind, hose: y.hose, count: counts[y.hose] });
  }
  function fire(which: number): void {
    const all = [...running];
    const one = all[which % Math.max(1, all.length)];
    if (!one) return;
    running.delete(one[0]);
    at += 20;
    feed({ kind: 'due', timer: one[1] });
  }
  function pulse(h: string, by: number): void {
    at += 200;
    counts[h] = Math.max(0, (counts[h] ?? 0) + by);
    feed({ kind: 'pulses', hose: h, count: counts[h] });
  }
  function visit(at: string, h: string): void {
    feed({ kind: 'credential', terminal: at, number: '5' });
    const session = () => state.sessions[at]?.number;
    feed({ kind: 'asks', terminal: at, session: session(), asks: [], credentials: ['c'] });
    feed({ kind: 'choose', terminal: at, hose: h });
    feed({ kind: 'decided', terminal: at, session: session(), decision: approval(1_000_000) });
    while (waiting.length > 0) answer(true);
    while (yard.length > 0) answerYard();
    if (state.hoses[h]?.name === 'armed') visits++;
  }
  return {
    visits: () => visits,
    play(m: Move): void {
      if (m.do === 'event') feed(m.event);
      else if (m.do === 'answer') answer(m.durable);
      else if (m.do === 'fire') fire(m.which);
      else if (m.do === 'pulse') pulse(m.hose, m.by);
      else if (m.do === 'wait') at += m.ms;
      else if (m.do === 'yard') answerYard();
      else if (m.do === 'visit') visit(m.terminal, m.hose);
      else if (m.do === 'asks')
        feed({
          kind: 'asks',
          terminal: m.terminal,
          session: state.sessions[m.terminal]?.number,
          asks: [],
          credentials: ['c'],
        });
      else
        feed({
          kind: 'decided',
          terminal: m.terminal,
          session: state.sessions[m.terminal]?.number,
          decision: m.approve ? approval(1_000_000) : REFUSAL,
        });
    },
    feed,
    /** Everything answers at last and every timer fires: all must come to rest. */
    rest(): void {
      feed({ kind: 'eStop', on: true });
      for (let i = 0; i < 2_000 && (waiting.length > 0 || yard.length > 0 || running.size > 0); i++) {
        at += 10;
        if (waiting.length > 0) answer(true);
        else if (yard.length > 0) answerYard();
        else fire(0);
      }
    },
    state: () => state,
    told: () => told,
    moved: () => Object.values(counts).reduce((a, b) => a + b, 0) - 1_500,
    entries,
    ends,
    durableFills,
  };
}

describe('the machine, whatever comes', () => {
  it('arms only what is durable, loses no pulse and comes to rest', () => {
    let armed = 0;
    const reasons = new Set<string>();
    fc.assert(
      fc.property(fc.array(move, { minLength: 20, maxLength: 140 }), (moves) => {
        const w = world();
        for (const id of ['h1', 'h2', 'h3']) w.feed({ kind: 'returned', hose: id, count: 500, lifted: false });
        for (const m of moves) w.play(m);
        w.rest();
        expect(isQuiet(w.state())).toBe(true);
        expect(w.told()).toBe(w.moved());
        armed += w.visits();
        for (const e of w.entries as { kind: string; reason?: string }[])
          if (e.kind === 'ended' && e.reason) reasons.add(e.reason);
        // Every durable authorisation has its end.
        for (const fill of w.durableFills) expect(w.ends.has(fill)).toBe(true);
      }),
      { numRuns: 250, seed: 20_261_125 },
    );
    // The sequences reach what they are meant to try.
    expect(armed).toBeGreaterThan(100);
    for (const r of ['limit', 'hung', 'eStop', 'mains', 'doubt', 'device', 'service', 'cancelled'])
      expect([...reasons]).toContain(r);
  }, 120_000);

  it('does the same again for the same events', () => {
    fc.assert(
      fc.property(fc.array(move, { maxLength: 80 }), (moves) => {
        const [a, b] = [world(), world()];
        for (const w of [a, b]) for (const m of moves) w.play(m);
        expect(a.entries).toEqual(b.entries);
        expect(a.state()).toEqual(b.state());
      }),
      { numRuns: 60, seed: 7 },
    );
  });
});

describe('a fill', () => {
  it('goes from card to receipt, and the terminal is free while it flows', () => {
    const d = driver().ready().flowing();
    d.due('terminal', 't1', 'shown');
    expect(d.session().name).toBe('idle');
    for (let i = 0; i < 400 && d.hose().name !== 'stopping'; i++) {
      d.wait(200);
      // As a yard does that closes by itself: it counts to the stop and no further.
      const f = d.hose().fill;
      const by = Math.min(15, (f?.stopAtPulses ?? 0) - (f?.pulses ?? 0));
      d.feed({ kind: 'pulses', hose: 'h1', count: (d.hose().count ?? 0) + by });
    }
    expect(d.hose().fill?.reason).toBe('limit');
    const { stopAtPulses, limitPulses } = d.hose().fill ?? { stopAtPulses: 0, limitPulses: 0 };
    expect(limitPulses).toBe(2_000);
    expect(stopAtPulses).toBeLessThan(limitPulses);
    d.feed({ kind: 'disarmed', hose: 'h1', count: (d.hose().count ?? 0) + 4 });
    d.due('hose', 'h1', 'settle');
    d.durable('ended');
    const end = d.entries().findLast((e) => e.kind === 'ended');
    expect(end).toMatchObject({
      reason: 'limit',
      overPulses: 0,
      amount: end?.kind === 'ended' ? (end.ul * 15_000) / 1e6 : 0,
    });
    expect(d.hose().lags).toHaveLength(1);
    expect(d.entries().find((e) => e.kind === 'authorised')).toMatchObject({
      lag: { ahead: limitPulses - stopAtPulses, of: 0 },
    });
    d.feed({ kind: 'receipt', terminal: 't1' });
    expect(d.effects().filter((e) => e.do === 'print')).toHaveLength(1);
  });

  it('writes checkpoints half a litre or a second apart', () => {
    const d = driver().ready().flowing();
    for (let i = 0; i < 40; i++) {
      d.wait(100);
      d.feed({ kind: 'pulses', hose: 'h1', count: (d.hose().count ?? 0) + 7 });
    }
    const points = d.entries().filter((e) => e.kind === 'checkpoint' && e.step === 'flowing');
    expect(points.length).toBeGreaterThan(3);
    for (const [i, p] of points.entries()) {
      const before = points[i - 1];
      if (p.kind !== 'checkpoint' || before?.kind !== 'checkpoint') continue;
      expect(p.ul - before.ul >= 500_000 || p.at - before.at >= 1_000).toBe(true);
      expect(p.ul - before.ul).toBeLessThan(500_000 + 70_000);
      expect(p.at - before.at).toBeLessThan(1_100);
    }
  });

  it('counts nothing in doubt: what jumps or runs back is told by an alarm, and stops it', () => {
    for (const [by, code] of [
      [-3, 'reversal'],
      [5_000, 'jump'],
    ] as const) {
      const d = driver().ready().flowing();
      const count = (d.hose().count ?? 0) + by;
      d.feed({ kind: 'pulses', hose: 'h1', count });
      expect(d.entries()).toContainEqual(expect.objectContaining({ alarm: code, pulses: by, count }));
      d.feed({ kind: 'disarmed', hose: 'h1', count });
      d.due('hose', 'h1', 'settle');
      d.durable('ended');
      expect(d.entries().findLast((e) => e.kind === 'ended')).toMatchObject({ reason: 'doubt', pulses: 50, count });
      expect(d.hose().blocks).toContain('doubt');
    }
  });

  it('tells every stray pulse, also those that came within a second of the last alarm before it ended', () => {
    const d = driver().ready().deciding().decided();
    for (const count of [1_002, 1_005]) d.feed({ kind: 'pulses', hose: 'h1', count });
    d.durable('authorised');
    const told = d.entries().flatMap((e) => (e.kind === 'alarm' && e.pulses !== undefined ? [e.pulses] : []));
    expect(told.reduce((a, b) => a + b, 0)).toBe(5);
    expect(d.entries().findLast((e) => e.kind === 'ended')).toMatchObject({ pulses: 0, count: 1_005 });
  });

  it('is written again with the count as it is then', () => {
    const d = driver().ready().flowing();
    d.feed({ kind: 'hung', hose: 'h1' });
    d.feed({ kind: 'disarmed', hose: 'h1', count: 1_050 });
    d.due('hose', 'h1', 'settle');
    d.feed({ kind: 'pulses', hose: 'h1', count: 1_054 });
    const end = d.effects().findLast((e) => e.do === 'journal' && e.entry.kind === 'ended');
    d.feed({ kind: 'notJournalled', tag: (end?.do === 'journal' && end.tag) || '' });
    d.due('hose', 'h1', 'retry');
    expect(d.entries().findLast((e) => e.kind === 'ended')).toMatchObject({ pulses: 50, count: 1_054 });
  });

  it('refuses the second person at one hose and serves them at another', () => {
    const d = driver().ready().deciding('t1', 'h1').deciding('t2', 'h1');
    expect(d.session('t2')).toMatchObject({ name: 'busy', why: 'inUse' });
    d.feed({ kind: 'key', terminal: 't2', key: 'enter' });
    d.feed({ kind: 'key', terminal: 't2', key: '2' });
    expect(d.session('t2').name).toBe('deciding');
    expect(d.hose('h2').holder?.terminal).toBe('t2');
  });

  it('is refused while the nozzle is out, and not armed when the journal fails', () => {
    const d = driver().ready();
    d.feed({ kind: 'lifted', hose: 'h1' });
    expect(d.deciding().session().why).toBe('nozzleOut');
    const e = driver().ready().deciding().decided();
    const tag = e
      .effects()
      .flatMap((x) => (x.do === 'journal' && x.tag ? [x.tag] : []))
      .at(-1);
    e.feed({ kind: 'notJournalled', tag: tag ?? '' });
    expect(e.session()).toMatchObject({ name: 'refused', why: 'journal' });
    expect(e.effects().some((x) => x.do === 'arm')).toBe(false);
  });

  it('compares a PIN only after the attempt is durable', () => {
    const d = driver().ready();
    d.feed({ kind: 'credential', terminal: 't1', number: '1' });
    d.feed({
      kind: 'asks',
      terminal: 't1',
      session: d.session().number,
      asks: [{ ask: 'pin' }],
      credentials: ['c'],
      driver: 'd1',
    });
    for (const key of ['4', '7', '1', '1', 'enter'] as const) d.feed({ kind: 'key', terminal: 't1', key });
    expect(d.effects().some((e) => e.do === 'checkPin')).toBe(false);
    expect(d.durable('pin')).toContainEqual({
      do: 'checkPin',
      terminal: 't1',
      session: d.session().number,
      driver: 'd1',
      digits: '4711',
    });
    // The digits are on no screen and in no entry.
    expect(JSON.stringify([d.entries(), d.effects().filter((e) => e.do === 'show')])).not.toContain('4711');
  });

  it('stops for a low tank only when both tanks of the line are low, and serves again above the mark', () => {
    const d = driver().ready().flowing();
    d.feed({ kind: 'level', tank: 'a', ul: 99_999_999 });
    expect(d.hose().name).toBe('flowing');
    d.feed({ kind: 'level', tank: 'b', ul: 50_000_000 });
    expect(d.hose().fill?.reason).toBe('tankLow');
    expect(d.hose('h2').blocks).toEqual(['tankLow']);
    d.feed({ kind: 'level', tank: 'b', ul: 101_000_000 });
    expect(d.hose('h2').name).toBe('blocked');
    d.feed({ kind: 'level', tank: 'b', ul: 102_000_000 });
    expect(d.hose('h2').name).toBe('idle');
  });

  it('takes a plan only when all is quiet', () => {
    const d = driver().ready().flowing();
    expect(d.feed({ kind: 'plan', plan: { ...PLAN, revision: 8 }, why: 'release' })).toEqual([
      { do: 'planKept', revision: 8 },
    ]);
    const e = driver().ready();
    expect(e.feed({ kind: 'plan', plan: { ...PLAN, revision: 8 }, why: 'release' })).toContainEqual({
      do: 'planTaken',
      revision: 8,
    });
    expect(e.state().plan.revision).toBe(8);
    expect(e.hose().name).toBe('idle');
  });

  it('is ended as interrupted after a power cut, with its last durable count', () => {
    const d = driver().ready().flowing();
    for (let i = 0; i < 20; i++) {
      d.wait(200);
      d.feed({ kind: 'pulses', hose: 'h1', count: (d.hose().count ?? 0) + 15 });
    }
    const placed = d.entries().map((entry, i) => ({ ref: { epoch: 'e', seq: i + 1 }, entry }));
    const auth = placed.find((p) => p.entry.kind === 'authorised');
    const fill = fillIdOf('yard', auth?.ref ?? { epoch: '', seq: 0 });
    // The hand driver numbers what is durable by itself; bring the fill's name into line.
    const named = placed.map((p) =>
      'fill' in p.entry && p.entry.fill !== undefined ? { ...p, entry: { ...p.entry, fill } } : p,
    );
    const r = recover('yard', named, 1_800_000_900_000);
    const last = named.findLast((p) => p.entry.kind === 'checkpoint')?.entry;
    expect(r.interrupted).toHaveLength(1);
    expect(r.interrupted[0]).toMatchObject({
      reason: 'powerLoss',
      fill,
      pulses: last?.kind === 'checkpoint' ? last.pulses : -1,
    });
    // What ran on unseen is told when the dispenser is back.
    const again = bootState(PLAN, r.remembered);
    const count = (d.hose().count ?? 0) + 3;
    const back = step(again, { kind: 'returned', at: 1_800_000_901_000, hose: 'h1', count, lifted: false });
    expect(back.effects).toContainEqual(
      expect.objectContaining({ do: 'journal', entry: expect.objectContaining({ alarm: 'pulsesWhileOff' }) }),
    );
    expect(
      recover('yard', [...named, { ref: { epoch: 'e', seq: 999 }, entry: r.interrupted[0] as never }], 0).interrupted,
    ).toEqual([]);
  });

  it('adds up to the counter wherever the power is cut, also in the middle of a doubt', () => {
    const d = driver().ready().flowing();
    d.wait(200);
    for (const by of [7, 3, 4_000]) d.feed({ kind: 'pulses', hose: 'h1', count: (d.hose().count ?? 0) + by });
    d.feed({ kind: 'pulses', hose: 'h1', count: (d.hose().count ?? 0) + 2 });
    const counter = d.hose().count ?? 0;
    d.feed({ kind: 'disarmed', hose: 'h1', count: counter });
    d.due('hose', 'h1', 'settle');
    const auth = d.entries().findIndex((e) => e.kind === 'authorised');
    const fill = fillIdOf('yard', { epoch: 'e', seq: auth + 1 });
    const all = d.entries().map((entry, i) => ({
      ref: { epoch: 'e', seq: i + 1 },
      entry: 'fill' in entry && entry.fill !== undefined ? { ...entry, fill } : entry,
    }));
    for (let cut = auth + 1; cut <= all.length; cut++) {
      const kept = all.slice(0, cut).map((p) => p.entry);
      const r = recover('yard', all.slice(0, cut), 1_800_000_900_000);
      const end = r.interrupted[0];
      const known = end?.count ?? r.remembered.counts.h1 ?? 1_000;
      const back = step(bootState(PLAN, { counts: { h1: known }, lags: {} }), {
        kind: 'returned',
        at: 1_800_000_901_000,
        hose: 'h1',
        count: counter,
        lifted: false,
      });
      const after = back.effects.flatMap((e) => (e.do === 'journal' ? [e.entry] : []));
      const told = [...kept, ...(end ? [end] : []), ...after].reduce(
        (sum, e) => sum + ((e.kind === 'ended' || e.kind === 'alarm') && e.pulses !== undefined ? e.pulses : 0),
        0,
      );
      expect(told, `cut behind ${kept.at(-1)?.kind}`).toBe(counter - 1_000);
    }
  });
});
