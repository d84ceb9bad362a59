import { goOut, idle, NOBODY } from './session-moves.ts';
import { journal, sessionTimer, type Turn } from './turn.ts';
import type { Hold, HoseState, IslandState, Session, TankState, TerminalPlan, YardPlan } from './types.ts';

/** What a journal told of the time before, by hose. */
export interface Remembered {
  readonly counts: Readonly<Record<string, number>>;
  readonly lags: Readonly<Record<string, readonly number[]>>;
}

const nobody: Session = {
  ...NOBODY,
  name: 'idle',
  number: 0,
  language: 'en',
  chosen: false,
  timer: null,
  receipts: [],
};
const unknownTank: TankState = {
  ul: null,
  levelMm: null,
  waterMm: null,
  tempC: null,
  lost: false,
  forbids: [],
  restAt: null,
};

/** A hose is blocked until its dispenser has told that it is there and closed. */
const unheardHose = (active: boolean, count: number | null, lags: readonly number[]): HoseState => ({
  name: 'blocked',
  count,
  countAt: 0,
  nozzleOut: false,
  blocks: active ? ['device'] : ['device', 'service'],
  holder: null,
  fill: null,
  lags,
  stray: 0,
  closedAt: 0,
  timers: {},
});

/** The state in which a box begins, after what its journal remembers. */
export function bootState(plan: YardPlan, remembered: Remembered = { counts: {}, lags: {} }): IslandState {
  const holds: Hold[] = plan.active ? [] : ['closed'];
  const session = ({ languages }: TerminalPlan): Session => ({
    ...nobody,
    language: languages[0] ?? 'en',
    ...(plan.active ? {} : { name: 'out', why: 'closed' }),
  });
  return {
    plan,
    sessions: Object.fromEntries(Object.values(plan.terminals).map((t) => [t.id, session(t)])),
    hoses: Object.fromEntries(
      Object.values(plan.hoses).map((h) => [
        h.id,
        unheardHose(h.active, remembered.counts[h.id] ?? null, remembered.lags[h.id] ?? []),
      ]),
    ),
    tanks: Object.fromEntries(Object.keys(plan.tanks).map((id) => [id, unknownTank])),
    eStop: false,
    holds,
    next: 1,
  };
}

/** Nobody is at a terminal and no hose is in use: only then may a plan be swapped. */
export const isQuiet = (state: Pick<IslandState, 'sessions' | 'hoses'>): boolean =>
  Object.values(state.sessions).every((s) => s.name === 'idle' || s.name === 'out') &&
  Object.values(state.hoses).every((h) => h.name === 'idle' || h.name === 'blocked');

/** Takes a new plan when all is quiet, else keeps the old one; says which. What is known of hoses and tanks that stay is kept. */
export function swapPlan(t: Turn, plan: YardPlan, why: string): void {
  if (plan.site !== t.plan.site || !isQuiet(t)) {
    t.effects.push({ do: 'planKept', revision: plan.revision });
    return;
  }
  journal(t, { kind: 'revision', at: t.at, from: t.plan.revision, to: plan.revision, why: why.slice(0, 200) });
  const fresh = bootState(plan);
  const old = { sessions: { ...t.sessions }, hoses: { ...t.hoses }, tanks: { ...t.tanks } };
  const was = t.plan;
  for (const id of Object.keys(t.sessions)) sessionTimer(t, id, null);
  t.plan = plan;
  const holds = t.holds.filter((h) => h !== 'closed');
  t.holds = plan.active ? holds : [...holds, 'closed'];
  replace(t.tanks, fresh.tanks, old.tanks, (_fresh, before) => before);
  replace(t.hoses, fresh.hoses, old.hoses, (now, before, id) => {
    const blocks = before.blocks.filter((b) => b !== 'service' || was.hoses[id]?.active === plan.hoses[id]?.active);
    if (now.blocks.includes('service') && !blocks.includes('service')) blocks.push('service');
    const name = blocks.length > 0 ? ('blocked' as const) : ('idle' as const);
    return { ...before, blocks, name };
  });
  replace(t.sessions, fresh.sessions, old.sessions, (_fresh, before) => ({ ...before, timer: null }));
  for (const id of Object.keys(t.sessions)) {
    const hold = t.holds[0];
    if (hold) goOut(t, id, hold);
    else idle(t, id);
  }
  t.effects.push({ do: 'planTaken', revision: plan.revision });
}

function replace<T>(
  into: Record<string, T>,
  fresh: Readonly<Record<string, T>>,
  old: Readonly<Record<string, T>>,
  keep: (fresh: T, old: T, id: string) => T,
): void {
  for (const id of Object.keys(into)) delete into[id];
  for (const [id, now] of Object.entries(fresh)) {
    const before = old[id];
    into[id] = before ? keep(now, before, id) : now;
  }
}
