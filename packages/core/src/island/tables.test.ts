import { describe, expect, it } from 'vitest';
import { approval, driver } from '../../test/island/yard.ts';
import { stateDiagram } from './diagram.ts';
import type { HoseCell } from './hose-cell.ts';
import { HOSE_NAMES, HOSE_SIGNALS, HOSE_TABLE } from './hose-table.ts';
import { islandReference } from './reference.ts';
import { SESSION_NAMES, SESSION_SIGNALS, SESSION_TABLE, type SessionCell } from './session-table.ts';
import { step } from './step.ts';
import { TIMERS } from './timers.ts';
import { beginTurn, type HoseSignal, type SessionSignal } from './turn.ts';
import type { HoseName, IslandState, SessionName } from './types.ts';

/** One way to each state of a hose, by events only. */
const HOSE_WAYS: Record<HoseName, () => IslandState> = {
  idle: () => driver().ready().state(),
  claimed: () => driver().ready().deciding().state(),
  recording: () => driver().ready().deciding().decided().state(),
  arming: () => {
    const d = driver().ready().deciding().decided();
    d.durable('authorised');
    return d.state();
  },
  armed: () => driver().ready().armed().state(),
  lifted: () => {
    const d = driver().ready().armed();
    d.feed({ kind: 'lifted', hose: 'h1' });
    return d.state();
  },
  flowing: () => driver().ready().flowing().state(),
  slowing: () => {
    const d = driver().ready().armed('t1', 'h1', approval(1_000_000));
    d.feed({ kind: 'lifted', hose: 'h1' });
    d.wait(1_000);
    d.feed({ kind: 'pulses', hose: 'h1', count: 1_020 });
    return d.state();
  },
  stopping: () => {
    const d = driver().ready().flowing();
    d.feed({ kind: 'hung', hose: 'h1' });
    return d.state();
  },
  closing: () => {
    const d = driver().ready().flowing();
    d.feed({ kind: 'hung', hose: 'h1' });
    d.feed({ kind: 'disarmed', hose: 'h1', count: 1_052 });
    d.due('hose', 'h1', 'settle');
    return d.state();
  },
  blocked: () => driver().state(),
};

const SIGNALS: { [K in HoseSignal['kind']]: HoseSignal<K> } = {
  claim: { kind: 'claim', terminal: 't2', session: 99 },
  release: { kind: 'release', terminal: 't1', session: 0 },
  cancel: { kind: 'cancel', terminal: 't1', session: 0 },
  cardStopped: { kind: 'cardStopped' },
  grant: {
    kind: 'grant',
    grant: { terminal: 't1', session: 0, language: 'en', credentials: [], answers: {}, decision: approval() as never },
  },
  recorded: { kind: 'recorded', fill: 'yard.e.1' },
  recordFailed: { kind: 'recordFailed' },
  noteFailed: { kind: 'noteFailed' },
  endRecorded: { kind: 'endRecorded' },
  endFailed: { kind: 'endFailed' },
  armed: { kind: 'armed', count: 1_000 },
  disarmed: { kind: 'disarmed', count: 1_055 },
  lifted: { kind: 'lifted' },
  hung: { kind: 'hung' },
  pulses: { kind: 'pulses', count: 1_060 },
  returned: { kind: 'returned', count: 1_060, lifted: false },
  halt: { kind: 'halt', block: 'water' },
  clear: { kind: 'clear', block: 'device', by: 'somebody' },
  'due:claim': { kind: 'due:claim' },
  'due:record': { kind: 'due:record' },
  'due:arm': { kind: 'due:arm' },
  'due:lift': { kind: 'due:lift' },
  'due:firstPulse': { kind: 'due:firstPulse' },
  'due:noPulse': { kind: 'due:noPulse' },
  'due:longest': { kind: 'due:longest' },
  'due:disarm': { kind: 'due:disarm' },
  'due:settle': { kind: 'due:settle' },
  'due:retry': { kind: 'due:retry' },
  'due:stray': { kind: 'due:stray' },
};

describe('the hose’s table', () => {
  for (const name of HOSE_NAMES) {
    it(`leads from ${name} only where it says, for every signal`, () => {
      const state = HOSE_WAYS[name]();
      expect(state.hoses.h1?.name).toBe(name);
      for (const kind of HOSE_SIGNALS) {
        const cell = HOSE_TABLE[name][kind] as HoseCell | undefined;
        const t = beginTurn(state, 1_800_000_100_000);
        const holder = state.hoses.h1?.holder;
        const signal = SIGNALS[kind] as HoseSignal;
        const session = holder && 'session' in signal && kind !== 'claim' ? { session: holder.session } : {};
        const grant = signal.kind === 'grant' && holder ? { grant: { ...signal.grant, session: holder.session } } : {};
        cell?.run(t, 'h1', { ...signal, ...session, ...grant } as HoseSignal);
        const after = t.hoses.h1?.name as HoseName;
        if (cell) expect([name, ...cell.to], `${name} + ${kind}`).toContain(after);
        else expect(t.hoses.h1, `${name} + ${kind}`).toBe(state.hoses.h1);
        if (!cell) expect([t.effects, t.signals], `${name} + ${kind}`).toEqual([[], []]);
      }
    });
  }

  it('stops the flow at an emergency stop, whatever the hose is doing', () => {
    for (const name of HOSE_NAMES) {
      const state = HOSE_WAYS[name]();
      const running = ['arming', 'armed', 'lifted', 'flowing', 'slowing'].includes(name);
      const after = step(state, { kind: 'eStop', at: 1_800_000_100_000, on: true });
      expect(after.state.hoses.h1?.blocks).toContain('eStop');
      if (running) {
        expect(after.effects).toContainEqual({ do: 'disarm', hose: 'h1' });
        expect(after.state.hoses.h1?.name).toBe('stopping');
        expect(after.state.hoses.h1?.fill?.reason).toBe('eStop');
      }
      // Nothing arms it again until a person resets the stop, even when the button is out.
      const out = step(after.state, { kind: 'eStop', at: 1_800_000_101_000, on: false });
      expect(out.state.hoses.h1?.blocks).toContain('eStop');
      expect(out.state.sessions.t1?.name).toBe('out');
    }
  });
});

const SESSION_WAYS: Record<SessionName, () => IslandState> = {
  idle: () => driver().ready().state(),
  asking: () => {
    const d = driver().ready();
    d.feed({ kind: 'credential', terminal: 't1', number: '1' });
    return d.state();
  },
  card: () => asked([{ ask: 'credential', of: 'vehicle' }]),
  pin: () => asked([{ ask: 'pin' }]),
  pinCheck: () => {
    const d = driver().ready();
    d.feed({ kind: 'credential', terminal: 't1', number: '1' });
    d.feed({ kind: 'asks', terminal: 't1', session: d.session().number, asks: [{ ask: 'pin' }], credentials: ['c'] });
    d.feed({ kind: 'key', terminal: 't1', key: '7' });
    d.feed({ kind: 'key', terminal: 't1', key: 'enter' });
    return d.state();
  },
  question: () => asked([{ ask: 'question', question: 'odo' }]),
  choosing: () => asked([]),
  deciding: () => driver().ready().deciding().state(),
  granting: () => driver().ready().deciding().decided().state(),
  authorised: () => driver().ready().armed().state(),
  flowing: () => driver().ready().flowing().state(),
  filled: () => {
    const d = driver().ready().flowing();
    d.hangUp();
    return d.state();
  },
  refused: () => {
    const d = driver().ready();
    d.feed({ kind: 'misread', terminal: 't1' });
    return d.state();
  },
  busy: () => {
    const d = driver().ready().deciding('t2', 'h1');
    d.deciding('t1', 'h1');
    return d.state();
  },
  out: () => {
    const d = driver().ready();
    d.feed({ kind: 'mains', on: false });
    return d.state();
  },
};
function asked(asks: Parameters<ReturnType<typeof driver>['feed']>[0] extends infer _ ? readonly unknown[] : never) {
  const d = driver().ready();
  d.feed({ kind: 'credential', terminal: 't1', number: '1' });
  d.feed({ kind: 'asks', terminal: 't1', session: d.session().number, asks: asks as never, credentials: ['c1'] });
  return d.state();
}

const TOLD: { [K in SessionSignal['kind']]: SessionSignal<K> } = {
  credential: { kind: 'credential', number: '55' },
  misread: { kind: 'misread' },
  digit: { kind: 'digit', digit: '1' },
  enter: { kind: 'enter' },
  clear: { kind: 'clear' },
  cancel: { kind: 'cancel' },
  choose: { kind: 'choose', hose: 'h2' },
  answer: { kind: 'answer', text: 'X1' },
  language: { kind: 'language', language: 'es' },
  receipt: { kind: 'receipt' },
  asks: { kind: 'asks', session: 1, asks: [], credentials: ['c'] },
  pinChecked: { kind: 'pinChecked', session: 1, result: 'wrong' },
  decided: { kind: 'decided', session: 1, decision: approval() },
  recorded: { kind: 'recorded' },
  recordFailed: { kind: 'recordFailed' },
  claimed: { kind: 'claimed' },
  notClaimed: { kind: 'notClaimed', why: 'inUse', hose: 'h1' },
  handed: { kind: 'handed' },
  handFailed: { kind: 'handFailed', why: 'journal', hose: 'h1' },
  flow: { kind: 'flow', hose: 'h1' },
  over: { kind: 'over', hose: 'h1', language: 'es', drawn: true },
  taken: { kind: 'taken', why: 'water', hose: 'h1' },
  cardStopped: { kind: 'cardStopped' },
  'due:answer': { kind: 'due:answer' },
  'due:shown': { kind: 'due:shown' },
  'due:edge': { kind: 'due:edge' },
  siteOut: { kind: 'siteOut', why: 'mains' },
  siteBack: { kind: 'siteBack' },
};

describe('the session’s table', () => {
  for (const name of SESSION_NAMES) {
    it(`leads from ${name} only where it says, for every signal`, () => {
      const state = SESSION_WAYS[name]();
      expect(state.sessions.t1?.name).toBe(name);
      for (const kind of SESSION_SIGNALS) {
        const cell = SESSION_TABLE[name][kind] as SessionCell | undefined;
        const t = beginTurn(state, 1_800_000_100_000);
        cell?.run(t, 't1', TOLD[kind] as SessionSignal);
        const after = t.sessions.t1?.name as SessionName;
        if (cell) expect([name, ...cell.to], `${name} + ${kind}`).toContain(after);
        else expect([t.sessions.t1, t.effects, t.signals], `${name} + ${kind}`).toEqual([state.sessions.t1, [], []]);
        // Whoever waits, waits with a timer: no session lasts for ever.
        if (after !== 'idle' && after !== 'out' && cell && after !== name)
          expect(t.sessions.t1?.timer, `${name} + ${kind} -> ${after}`).not.toBeNull();
      }
    });
  }
});

it('lists every timer with what the record says of it', () => {
  const due = [...SESSION_SIGNALS, ...HOSE_SIGNALS].filter((s) => s.startsWith('due:')).map((s) => s.slice(4));
  expect(Object.keys(TIMERS).sort()).toEqual([...due].sort());
  for (const [name, timer] of Object.entries(TIMERS))
    expect((timer.of === 'hose' ? HOSE_SIGNALS : SESSION_SIGNALS) as readonly string[]).toContain(`due:${name}`);
});

type Cells = Readonly<Record<string, Readonly<Record<string, { readonly to: readonly string[] } | undefined>>>>;
it.each([HOSE_TABLE as Cells, SESSION_TABLE as Cells])('draws every arrow of a table, and no other', (cells) => {
  const text = stateDiagram(cells).join('\n');
  const drawn = new Set(
    [...text.matchAll(/^ {2}(\w+) --> (\w+): (.+)$/gm)].flatMap(([, from, to, signals]) =>
      (signals ?? '').split(', ').map((s) => `${from} ${s.replace(' ', ':')} ${to}`),
    ),
  );
  for (const [, signal, to, froms] of text.matchAll(/^- `(.+?)` leads to `(\w+)` from (.+)\.$/gm))
    for (const [, from] of (froms ?? '').matchAll(/`(\w+)`/g)) drawn.add(`${from} ${signal} ${to}`);
  const listed = Object.entries(cells).flatMap(([name, row]) =>
    Object.entries(row).flatMap(([signal, c]) =>
      (c?.to ?? []).filter((to) => to !== name).map((to) => `${name} ${signal} ${to}`),
    ),
  );
  expect([...drawn].sort()).toEqual([...new Set(listed)].sort());
});

it('is documented as it is', async () => {
  await expect(islandReference()).toMatchFileSnapshot('../../../../docs/reference/island-tables.md');
});
