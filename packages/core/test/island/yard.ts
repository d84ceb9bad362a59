import type { DecisionFacts, HosePlan, IslandEvent, IslandState, Step, YardPlan } from '@fillwright/core/island';
import { bootState, step } from '@fillwright/core/island';

/** A small yard: two terminals, two hoses on a manifolded pair of tanks, one on its own. 100 pulses per litre, 60 l/min. */
const hose = (id: string, number: number, tanks: string[], terminals: string[]): HosePlan => ({
  id,
  number,
  product: 'diesel',
  productName: 'DIESEL',
  channel: number,
  pulsesPerMeasure: 100_000,
  flowUlPerMin: 60_000_000,
  liftS: 60,
  firstPulseS: 60,
  noPulseS: 20,
  longestMin: 10,
  terminals,
  tanks,
  active: true,
});
const terminal = (id: string) => ({
  id,
  name: id,
  columns: 24,
  rows: 4,
  paper: 32,
  siteName: 'Yard',
  siteAddress: '',
  languages: ['en', 'es', 'fr'] as const,
  layouts: { idle: null, flowing: null, filled: null, receipt: null },
  idle: [],
  receiptHead: ['Head'],
  receiptFoot: [],
  receiptDays: 3,
  answerS: 15,
  refusedS: 15,
});
const tank = (id: string) => ({
  id,
  name: id,
  product: 'diesel',
  low: 100_000_000,
  mostWaterMm: 50,
  whenProbeLost: 'stop' as const,
  // Of tank c a level tells the volume: 100 l at 200 mm, 1,100 l at 1,200 mm.
  chart: id === 'c' ? { dipMm: [50, 200, 1_200], litres: [20, 100, 1_100] } : null,
});

export const PLAN: YardPlan = {
  site: 'yard',
  siteName: 'Yard',
  active: true,
  unit: 'l',
  currency: 'EUR',
  revision: 7,
  terminals: { t1: terminal('t1'), t2: terminal('t2') },
  hoses: {
    h1: hose('h1', 1, ['a', 'b'], ['t1', 't2']),
    h2: hose('h2', 2, ['a', 'b'], ['t1', 't2']),
    h3: hose('h3', 3, ['c'], ['t2']),
  },
  tanks: { a: tank('a'), b: tank('b'), c: tank('c') },
  questions: { odo: { id: 'odo', prompt: 'Odometer', kind: 'odometer', digits: 6 } },
};

export const approval = (limit = 20_000_000): DecisionFacts => ({
  approved: true,
  limit,
  rule: 'per-fill',
  driver: 'd1',
  vehicle: 'v1',
  charged: [{ holder: 'driver:d1', allowance: 'x' }],
  product: 'diesel',
  price: 15_000,
  steps: [{ rule: 'per-fill', says: 'limit', limit }],
  notes: [],
  cutOff: false,
});

export const REFUSAL: DecisionFacts = {
  approved: false,
  rule: 'per-day',
  steps: [{ rule: 'per-day', says: 'refuse' }],
};

type Bare = IslandEvent extends infer E ? (E extends unknown ? Omit<E, 'at'> : never) : never;

/** Drives the machine by hand: keeps state, effects and time, and answers nothing by itself. */
export function driver(plan: YardPlan = PLAN) {
  let state: IslandState = bootState(plan);
  let at = 1_800_000_000_000;
  let seq = 0;
  const all: Step['effects'][number][] = [];
  const feed = (event: Bare): Step['effects'] => {
    const next = step(state, { ...event, at } as IslandEvent);
    state = next.state;
    all.push(...next.effects);
    return next.effects;
  };
  const self = {
    feed,
    wait(ms: number) {
      at += ms;
    },
    /** Says that the last tagged entry of this kind is durable. */
    durable(kind: string) {
      const found = all.filter((e) => e.do === 'journal' && e.entry.kind === kind && e.tag !== undefined).at(-1);
      if (found?.do !== 'journal' || found.tag === undefined) throw new Error(`no ${kind} waits`);
      return feed({ kind: 'journalled', tag: found.tag, ref: { epoch: 'e', seq: ++seq } });
    },
    due(of: 'hose' | 'terminal', id: string, name: string) {
      const timer =
        of === 'hose'
          ? state.hoses[id]?.timers[name]
          : state.sessions[id]?.timer?.name === name && state.sessions[id].timer;
      if (!timer) throw new Error(`no timer ${name} runs at ${id}`);
      return feed({ kind: 'due', timer });
    },
    effects: () => all,
    entries: () => all.flatMap((e) => (e.do === 'journal' ? [e.entry] : [])),
    state: () => state,
    hose: (id = 'h1') => {
      const h = state.hoses[id];
      if (!h) throw new Error(id);
      return h;
    },
    session: (id = 't1') => {
      const s = state.sessions[id];
      if (!s) throw new Error(id);
      return s;
    },
    /** Every dispenser is there. */
    ready() {
      for (const id of Object.keys(plan.hoses)) feed({ kind: 'returned', hose: id, count: 1_000, lifted: false });
      return self;
    },
    /** A person at `t` gets as far as the decision for `h`. */
    deciding(t = 't1', h = 'h1') {
      feed({ kind: 'credential', terminal: t, number: '123' });
      feed({
        kind: 'asks',
        terminal: t,
        session: self.session(t).number,
        asks: [],
        credentials: ['c1'],
        driver: 'd1',
      });
      feed({ kind: 'choose', terminal: t, hose: h });
      return self;
    },
    decided(decision: DecisionFacts = approval(), t = 't1') {
      feed({ kind: 'decided', terminal: t, session: self.session(t).number, decision });
      return self;
    },
    armed(t = 't1', h = 'h1', decision: DecisionFacts = approval()) {
      self.deciding(t, h).decided(decision, t);
      self.durable('authorised');
      feed({ kind: 'armed', hose: h, count: self.hose(h).count ?? 0 });
      return self;
    },
    flowing(t = 't1', h = 'h1') {
      self.armed(t, h);
      feed({ kind: 'lifted', hose: h });
      self.wait(2_000);
      feed({ kind: 'pulses', hose: h, count: (self.hose(h).count ?? 0) + 50 });
      return self;
    },
    /** Hangs up what flows; the end of the fill is on the record. */
    hangUp(h = 'h1') {
      feed({ kind: 'hung', hose: h });
      feed({ kind: 'disarmed', hose: h, count: self.hose(h).count ?? 0 });
      self.due('hose', h, 'settle');
      self.durable('ended');
      return self;
    },
  };
  return self;
}
