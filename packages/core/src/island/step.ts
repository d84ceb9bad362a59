import { BLOCKS } from './blocks.ts';
import { swapPlan } from './boot.ts';
import { type EntryRef, fillIdOf } from './entries.ts';
import type { HoseCell } from './hose-cell.ts';
import { HOSE_TABLE } from './hose-table.ts';
import { SESSION_TABLE, type SessionCell } from './session-table.ts';
import { takeLevel } from './tanks.ts';
import {
  alarm,
  beginTurn,
  type HoseSignal,
  hoseOf,
  type SessionSignal,
  sessionOf,
  setHose,
  setSession,
  type Turn,
  tellHose,
} from './turn.ts';
import type { EventKind, EventOf, Hold, IslandEvent, IslandState, Step } from './types.ts';

/**
 * The site after one event, and what is to be done now, in order. Pure: the same state and event give the same step. An event for a
 * hose, terminal or tank that the plan does not have does nothing, as does one that the tables do not list.
 */
export function step(state: IslandState, event: IslandEvent): Step {
  const t = beginTurn(state, event.at);
  (ROUTES[event.kind] as (t: Turn, e: IslandEvent) => void)(t, event);
  // Signals are few; a table that made them for ever would be found by the tests, and stops here.
  for (let i = 0; t.signals.length > 0 && i < 1_000; i++) handle(t);
  const { plan, sessions, hoses, tanks, eStop, holds, next } = t;
  return { state: { plan, sessions, hoses, tanks, eStop, holds, next }, effects: t.effects };
}

function handle(t: Turn): void {
  const s = t.signals.shift();
  if (!s) return;
  if (s.to === 'hose') {
    if (!t.hoses[s.id]) return;
    const cell = HOSE_TABLE[hoseOf(t, s.id).name][s.signal.kind] as HoseCell | undefined;
    cell?.run(t, s.id, s.signal);
  } else {
    if (!t.sessions[s.id]) return;
    const session = sessionOf(t, s.id);
    if (s.session !== undefined && s.session !== session.number) return;
    const cell = SESSION_TABLE[session.name][s.signal.kind] as SessionCell | undefined;
    cell?.run(t, s.id, s.signal);
  }
}

const toSession = (t: Turn, id: string, signal: SessionSignal, session?: number): void => {
  t.signals.push({ to: 'terminal', id, signal, ...(session === undefined ? {} : { session }) });
};
const count = (t: Turn, e: EventOf<'armed' | 'disarmed' | 'pulses'>) =>
  tellHose(t, e.hose, { kind: e.kind, count: e.count } as HoseSignal);

const ROUTES: { readonly [K in EventKind]: (t: Turn, e: EventOf<K>) => void } = {
  credential: (t, e) => toSession(t, e.terminal, { kind: 'credential', number: e.number }),
  misread: (t, e) => toSession(t, e.terminal, { kind: 'misread' }),
  key: (t, e) =>
    toSession(
      t,
      e.terminal,
      e.key === 'enter' || e.key === 'clear' || e.key === 'cancel' ? { kind: e.key } : { kind: 'digit', digit: e.key },
    ),
  choose: (t, e) => toSession(t, e.terminal, { kind: 'choose', hose: e.hose }),
  answer: (t, e) => toSession(t, e.terminal, { kind: 'answer', text: e.text }),
  language: (t, e) => toSession(t, e.terminal, { kind: 'language', language: e.language }),
  receipt: (t, { terminal, hose, fill }) =>
    toSession(t, terminal, {
      kind: 'receipt',
      ...(hose === undefined ? {} : { hose }),
      ...(fill === undefined ? {} : { fill }),
    }),
  asks: (t, e) => toSession(t, e.terminal, e, e.session),
  pinChecked: (t, e) => toSession(t, e.terminal, e, e.session),
  decided: (t, e) => toSession(t, e.terminal, e, e.session),
  journalled: (t, e) => tagged(t, e.tag, e.ref),
  notJournalled: (t, e) => tagged(t, e.tag, null),
  armed: count,
  disarmed: count,
  pulses: count,
  lifted: (t, e) => tellHose(t, e.hose, { kind: 'lifted' }),
  hung: (t, e) => tellHose(t, e.hose, { kind: 'hung' }),
  fault: (t, e) => tellHose(t, e.hose, { kind: 'halt', block: 'device', words: e.words }),
  returned: (t, e) => tellHose(t, e.hose, { kind: 'returned', count: e.count, lifted: e.lifted }),
  level: takeLevel,
  probeLost: takeLevel,
  eStop: (t, e) => eStop(t, e.on),
  mains: (t, e) => (e.on ? release(t, 'mains', 'the mains') : hold(t, 'mains')),
  due,
  cleared,
  cardStopped,
  pulserDoubt: (t, e) => tellHose(t, e.hose, { kind: 'halt', block: 'doubt', words: e.words }),
  service: (t, e) =>
    tellHose(
      t,
      e.hose,
      e.out
        ? { kind: 'halt', block: 'service', words: e.by }
        : { kind: 'clear', block: 'service', by: e.by.slice(0, 200) },
    ),
  closing: (t) => {
    for (const id of Object.keys(t.hoses)) if (hoseOf(t, id).fill) tellHose(t, id, { kind: 'halt', block: 'service' });
  },
  plan: (t, e) => swapPlan(t, e.plan, e.why),
};

/** The journal's answer, by the tag that the entry went out with. */
function tagged(t: Turn, tag: string, ref: EntryRef | null): void {
  const [of, id, what, n] = tag.split('|');
  if (id === undefined) return;
  if (of === 'terminal') {
    toSession(t, id, { kind: ref ? 'recorded' : 'recordFailed' }, Number(n));
    return;
  }
  if (t.hoses[id]?.fill?.n !== Number(n)) return;
  if (what === 'auth')
    tellHose(t, id, ref ? { kind: 'recorded', fill: fillIdOf(t.plan.site, ref) } : { kind: 'recordFailed' });
  else if (what === 'end') tellHose(t, id, { kind: ref ? 'endRecorded' : 'endFailed' });
  else if (!ref) tellHose(t, id, { kind: 'noteFailed' });
}

function due(t: Turn, e: EventOf<'due'>): void {
  const { of, id, name, n } = e.timer;
  if (of === 'hose') {
    const { [name]: running, ...rest } = t.hoses[id]?.timers ?? {};
    if (running?.n !== n) return;
    setHose(t, id, { timers: rest });
    tellHose(t, id, { kind: `due:${name}` } as HoseSignal);
  } else {
    if (t.sessions[id]?.timer?.n !== n) return;
    setSession(t, id, { timer: null });
    toSession(t, id, { kind: `due:${name}` } as SessionSignal);
  }
}

/** Whoever stands at a terminal with it is refused, and what flows on it ends. */
function cardStopped(t: Turn, e: EventOf<'cardStopped'>): void {
  const stopped = (ids: readonly string[]) => ids.some((id) => e.credentials.includes(id));
  for (const [id, s] of Object.entries(t.sessions))
    if (stopped(s.credentialIds)) toSession(t, id, { kind: 'cardStopped' }, s.number);
  for (const [id, h] of Object.entries(t.hoses))
    if (h.fill && stopped(h.fill.grant.credentials)) tellHose(t, id, { kind: 'cardStopped' });
}

/** Holds the whole site: every hose stops, every terminal is out of service. */
function hold(t: Turn, what: 'eStop' | 'mains'): void {
  if (!t.holds.includes(what)) {
    t.holds = [...t.holds, what];
    alarm(t, what, {});
  }
  for (const id of Object.keys(t.hoses)) tellHose(t, id, { kind: 'halt', block: what });
  for (const id of Object.keys(t.sessions)) toSession(t, id, { kind: 'siteOut', why: what });
}

function release(t: Turn, what: Hold & ('eStop' | 'mains'), by: string): void {
  t.holds = t.holds.filter((h) => h !== what);
  for (const id of Object.keys(t.hoses)) tellHose(t, id, { kind: 'clear', block: what, by });
  if (t.holds.length === 0) for (const id of Object.keys(t.sessions)) toSession(t, id, { kind: 'siteBack' });
}

function eStop(t: Turn, on: boolean): void {
  t.eStop = on;
  if (on) hold(t, 'eStop');
}

function cleared(t: Turn, e: EventOf<'cleared'>): void {
  if (BLOCKS[e.block].lifted !== 'person') return;
  if (e.block === 'eStop') {
    if (!t.eStop) release(t, 'eStop', e.by);
  } else if (e.hose !== undefined) tellHose(t, e.hose, { kind: 'clear', block: e.block, by: e.by });
}
