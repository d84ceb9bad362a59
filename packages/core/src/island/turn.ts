import type { AlarmCode, Entry } from './entries.ts';
import type {
  Block,
  Effect,
  EventOf,
  Grant,
  HosePlan,
  HoseState,
  IslandEvent,
  IslandState,
  Language,
  ScreenData,
  ScreenName,
  Session,
  TerminalPlan,
  TimerId,
} from './types.ts';

/** What the two machines tell each other and what the site tells them; handled in order within one step. */
export interface HoseSignals {
  claim: Holder;
  release: Holder;
  cancel: Holder;
  /** A credential of its fill was stopped by the office. */
  cardStopped: Nothing;
  grant: { readonly grant: Grant };
  recorded: { readonly fill: string };
  recordFailed: Nothing;
  noteFailed: Nothing;
  endRecorded: Nothing;
  endFailed: Nothing;
  armed: Count;
  disarmed: Count;
  lifted: Nothing;
  hung: Nothing;
  pulses: Count;
  returned: Count & { readonly lifted: boolean };
  halt: { readonly block: Block; readonly words?: string };
  clear: { readonly block: Block; readonly by: string };
  'due:claim': Nothing;
  'due:record': Nothing;
  'due:arm': Nothing;
  'due:lift': Nothing;
  'due:firstPulse': Nothing;
  'due:noPulse': Nothing;
  'due:longest': Nothing;
  'due:disarm': Nothing;
  'due:settle': Nothing;
  'due:retry': Nothing;
  'due:stray': Nothing;
}
type Nothing = Readonly<Record<never, never>>;
interface Holder {
  readonly terminal: string;
  readonly session: number;
}
interface Count {
  readonly count: number;
}
export type HoseSignalKind = keyof HoseSignals;
export type HoseSignal<K extends HoseSignalKind = HoseSignalKind> = {
  [P in K]: { readonly kind: P } & HoseSignals[P];
}[K];

type Told<K extends IslandEvent['kind']> = Omit<EventOf<K>, 'kind' | 'at' | 'terminal'>;
export interface SessionSignals {
  credential: { readonly number: string };
  misread: Nothing;
  digit: { readonly digit: string };
  enter: Nothing;
  clear: Nothing;
  cancel: Nothing;
  choose: { readonly hose: string };
  answer: { readonly text: string };
  language: { readonly language: Language };
  receipt: { readonly hose?: string; readonly fill?: string };
  asks: Told<'asks'>;
  pinChecked: Told<'pinChecked'>;
  decided: Told<'decided'>;
  recorded: Nothing;
  recordFailed: Nothing;
  claimed: Nothing;
  notClaimed: { readonly why: string; readonly hose: string };
  handed: Nothing;
  handFailed: { readonly why: string; readonly hose: string };
  /** Fuel flows at a hose that was handed over from here. */
  flow: { readonly hose: string };
  /** The fill of such a hose is on the record; `drawn` is false when nothing was. */
  over: { readonly hose: string; readonly language: Language; readonly drawn: boolean };
  /** The hose that was handed over stops. */
  taken: { readonly why: string; readonly hose: string };
  cardStopped: Nothing;
  'due:answer': Nothing;
  'due:shown': Nothing;
  'due:edge': Nothing;
  siteOut: { readonly why: string };
  siteBack: Nothing;
}
export type SessionSignalKind = keyof SessionSignals;
export type SessionSignal<K extends SessionSignalKind = SessionSignalKind> = {
  [P in K]: { readonly kind: P } & SessionSignals[P];
}[K];

export type Signal =
  | { readonly to: 'hose'; readonly id: string; readonly signal: HoseSignal }
  | { readonly to: 'terminal'; readonly id: string; readonly session?: number; readonly signal: SessionSignal };

type Draft<T> = { -readonly [K in keyof T]: T[K] };

/** One step in the making. It lives only inside `step`; what went in is not touched. */
export interface Turn extends Draft<Omit<IslandState, 'sessions' | 'hoses' | 'tanks'>> {
  readonly at: number;
  readonly sessions: Record<string, Session>;
  readonly hoses: Record<string, HoseState>;
  readonly tanks: Draft<IslandState['tanks']>;
  readonly effects: Effect[];
  readonly signals: Signal[];
}

export const beginTurn = (state: IslandState, at: number): Turn => ({
  at,
  plan: state.plan,
  sessions: { ...state.sessions },
  hoses: { ...state.hoses },
  tanks: { ...state.tanks },
  eStop: state.eStop,
  holds: state.holds,
  next: state.next,
  effects: [],
  signals: [],
});

export const hoseOf = (t: Turn, id: string): HoseState => t.hoses[id] as HoseState;
export const sessionOf = (t: Turn, id: string): Session => t.sessions[id] as Session;
export const hosePlan = (t: Turn, id: string): HosePlan => t.plan.hoses[id] as HosePlan;
export const terminalPlan = (t: Turn, id: string): TerminalPlan => t.plan.terminals[id] as TerminalPlan;

export const setHose = (t: Turn, id: string, change: Partial<HoseState>): void => {
  t.hoses[id] = { ...hoseOf(t, id), ...change };
};
export const setSession = (t: Turn, id: string, change: Partial<Session>): void => {
  t.sessions[id] = { ...sessionOf(t, id), ...change };
};

export const tellHose = (t: Turn, id: string, signal: HoseSignal): void => {
  t.signals.push({ to: 'hose', id, signal });
};
/** For a given session only: by the time it is handled, somebody else may stand there. */
export const tellSession = (t: Turn, id: string, session: number, signal: SessionSignal): void => {
  t.signals.push({ to: 'terminal', id, session, signal });
};

/** Whoever stands there by now. */
export const tellTerminal = (t: Turn, id: string, signal: SessionSignal): void => {
  t.signals.push({ to: 'terminal', id, signal });
};

export const journal = (t: Turn, entry: Entry, tag?: string): void => {
  t.effects.push(tag === undefined ? { do: 'journal', entry } : { do: 'journal', entry, tag });
};

export const alarm = (
  t: Turn,
  code: AlarmCode,
  about: { hose?: string; tank?: string; fill?: string; pulses?: number; ul?: number; count?: number; words?: string },
): void => journal(t, { kind: 'alarm', at: t.at, alarm: code, ...about });

export function startHoseTimer(t: Turn, id: string, name: string, ms: number): void {
  const timer: TimerId = { of: 'hose', id, name, n: t.next++ };
  stopHoseTimer(t, id, name);
  setHose(t, id, { timers: { ...hoseOf(t, id).timers, [name]: timer } });
  t.effects.push({ do: 'start', timer, ms });
}

export function stopHoseTimer(t: Turn, id: string, name: string): void {
  const { [name]: timer, ...rest } = hoseOf(t, id).timers;
  if (!timer) return;
  t.effects.push({ do: 'stop', timer });
  setHose(t, id, { timers: rest });
}

export function stopHoseTimers(t: Turn, id: string): void {
  for (const name of Object.keys(hoseOf(t, id).timers)) stopHoseTimer(t, id, name);
}

/** A session has one timer at a time. */
export function sessionTimer(t: Turn, id: string, name: 'answer' | 'shown' | 'edge' | null, ms = 0): void {
  const old = sessionOf(t, id).timer;
  if (old) t.effects.push({ do: 'stop', timer: old });
  const timer: TimerId | null = name === null ? null : { of: 'terminal', id, name, n: t.next++ };
  setSession(t, id, { timer });
  if (timer) t.effects.push({ do: 'start', timer, ms });
}

export const show = (t: Turn, id: string, screen: ScreenName, data: ScreenData = {}): void => {
  t.effects.push({ do: 'show', terminal: id, screen, language: sessionOf(t, id).language, data });
};

export const beep = (t: Turn, id: string, tone: 'key' | 'good' | 'bad'): void => {
  t.effects.push({ do: 'beep', terminal: id, tone });
};
