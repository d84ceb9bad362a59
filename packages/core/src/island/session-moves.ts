import { amountOf } from '../units/index.ts';
import type { AskedFacts, StepFact } from './entries.ts';
import { ulOf } from './fill.ts';
import { hosesAt } from './plan.ts';
import {
  beep,
  hosePlan,
  journal,
  type SessionSignal,
  sessionOf,
  sessionTimer,
  setSession,
  show,
  type Turn,
  tellHose,
  terminalPlan,
} from './turn.ts';
import type { DecisionFacts, Fill, HosePlan, Language, ScreenData, ScreenName, Session } from './types.ts';

export const SESSION_MS = {
  /** The runner's answers must come within it. */
  edge: 10_000,
} as const;
/** Digits that a keyed number or a PIN may have at most. */
const MOST_DIGITS = { card: 20, pin: 8, choosing: 2 } as const;

export const NOBODY = {
  gathered: { credentials: [], pin: 'notAsked', answers: {} },
  credentialIds: [],
  asks: [],
  typed: '',
} as const satisfies Partial<Session>;

function screenOf(s: Session): ScreenName {
  if (s.name === 'choosing') return 'choose';
  if (s.name === 'refused' && (s.why === 'misread' || s.why === 'noReceipt')) return s.why;
  if (s.name === 'asking' || s.name === 'pinCheck' || s.name === 'deciding' || s.name === 'granting') return 'wait';
  return s.name;
}

/** Shows what the session's state shows; after a change of language or of what was keyed. */
export function reshow(t: Turn, id: string): void {
  const s = sessionOf(t, id);
  const first = s.asks[0];
  const hose = s.hose === undefined ? undefined : hosePlan(t, s.hose);
  const data: Partial<Record<ScreenName, ScreenData>> = {
    idle: { lines: terminalPlan(t, id).idle },
    card: { of: first?.ask === 'credential' ? first.of : 'either', typed: s.typed },
    pin: { typed: '*'.repeat(s.typed.length) },
    question: {
      prompt: first?.ask === 'question' ? (t.plan.questions[first.question]?.prompt ?? '') : '',
      typed: s.typed,
    },
    choose: {
      hoses: hosesAt(t.plan, id).map((h) => h.id),
      lines: hosesAt(t.plan, id).map((h) => `${h.number} ${h.productName}`),
      typed: s.typed,
    },
    busy: { why: s.why ?? '', number: hose?.number ?? 0 },
    authorised: {
      number: hose?.number ?? 0,
      product: hose?.productName ?? '',
      limitUl: s.hose === undefined ? 0 : (t.hoses[s.hose]?.fill?.grant.decision.limit ?? 0),
      unit: t.plan.unit,
    },
    flowing: flowData(t, id),
    filled: filledData(s),
    refused: { why: s.why ?? '' },
    out: { why: s.why ?? '' },
  };
  const screen = screenOf(s);
  show(t, id, screen, data[screen] ?? {});
}

export function setLanguage(t: Turn, id: string, signal: SessionSignal<'language'>): void {
  if (!terminalPlan(t, id).languages.includes(signal.language)) {
    beep(t, id, 'bad');
    return;
  }
  setSession(t, id, { language: signal.language, chosen: true });
  reshow(t, id);
}

/** Nobody is there. What the person gathered is forgotten; receipts stay. */
export function idle(t: Turn, id: string): void {
  const { driver: _d, vehicle: _v, hose: _h, why: _w, ...rest } = sessionOf(t, id);
  const language = terminalPlan(t, id).languages[0] ?? 'en';
  t.sessions[id] = { ...rest, ...NOBODY, name: 'idle', language, chosen: false };
  sessionTimer(t, id, null);
  reshow(t, id);
}

/** Somebody begins: with a credential, or by keying a number. */
export function begin(t: Turn, id: string, number: string | null): void {
  const { language, chosen } = sessionOf(t, id);
  if (sessionOf(t, id).name !== 'idle') idle(t, id);
  setSession(t, id, { number: t.next++, ...(chosen ? { language, chosen } : {}) });
  if (number === null) setSession(t, id, { name: 'card' });
  else present(t, id, number);
}

/** Adds a credential (null: nothing new) and asks the runner what is still missing. */
export function present(t: Turn, id: string, number: string | null): void {
  const { gathered } = sessionOf(t, id);
  const credentials = number === null ? gathered.credentials : [...gathered.credentials, number].slice(0, 2);
  setSession(t, id, { name: 'asking', typed: '', gathered: { ...gathered, credentials } });
  const s = sessionOf(t, id);
  if (number !== null) beep(t, id, 'good');
  show(t, id, 'wait');
  sessionTimer(t, id, 'edge', SESSION_MS.edge);
  t.effects.push({ do: 'ask', terminal: id, session: s.number, gathered: s.gathered });
}

/** Goes to the first thing that is still missing. */
export function next(t: Turn, id: string): void {
  const first = sessionOf(t, id).asks[0];
  const name =
    first === undefined
      ? 'choosing'
      : first.ask === 'credential'
        ? 'card'
        : first.ask === 'pin'
          ? 'pin'
          : ('question' as const);
  setSession(t, id, { name, typed: '' });
  sessionTimer(t, id, 'answer', terminalPlan(t, id).answerS * 1_000);
  const only = hosesAt(t.plan, id);
  if (name === 'choosing' && only.length === 1 && only[0] && sessionOf(t, id).why === undefined)
    chooseHose(t, id, only[0].id);
  else reshow(t, id);
}

function mostDigits(t: Turn, s: Session): number {
  if (s.name !== 'question') return MOST_DIGITS[s.name as keyof typeof MOST_DIGITS];
  const first = s.asks[0];
  return first?.ask === 'question' ? (t.plan.questions[first.question]?.digits ?? 20) : 20;
}

export function keyed(t: Turn, id: string, digit: string): void {
  const s = sessionOf(t, id);
  sessionTimer(t, id, 'answer', terminalPlan(t, id).answerS * 1_000);
  if (s.typed.length >= mostDigits(t, s)) {
    beep(t, id, 'bad');
    return;
  }
  setSession(t, id, { typed: s.typed + digit });
  beep(t, id, 'key');
  reshow(t, id);
}

export function chooseHose(t: Turn, id: string, hose: string): void {
  const s = sessionOf(t, id);
  setSession(t, id, { hose });
  tellHose(t, hose, { kind: 'claim', terminal: id, session: s.number });
}

export function release(t: Turn, id: string): void {
  const s = sessionOf(t, id);
  if (s.hose !== undefined) tellHose(t, s.hose, { kind: 'release', terminal: id, session: s.number });
}

export function authorise(t: Turn, id: string, decision: DecisionFacts): void {
  const s = sessionOf(t, id);
  if (!decision.approved || s.hose === undefined) {
    release(t, id);
    const { driver, vehicle } = decision;
    setSession(t, id, {
      ...(driver === undefined ? {} : { driver }),
      ...(vehicle === undefined ? {} : { vehicle }),
    });
    refuse(t, id, decision.rule, decision.steps, decision.approved ? undefined : decision.asked);
    return;
  }
  setSession(t, id, { name: 'granting' });
  // Longer than the hose may take to write and to arm: its own timers speak first.
  sessionTimer(t, id, 'edge', 2 * SESSION_MS.edge);
  tellHose(t, s.hose, {
    kind: 'grant',
    grant: {
      terminal: id,
      session: s.number,
      language: s.language,
      credentials: s.credentialIds,
      answers: s.gathered.answers,
      decision,
    },
  });
}

/** Reasons that are no refusal of a person: nothing is written. */
const UNRECORDED = new Set(['misread', 'noReceipt']);

export function refuse(t: Turn, id: string, why: string, steps: readonly StepFact[], asked?: AskedFacts): void {
  if (!UNRECORDED.has(why)) recordRefusal(t, id, why, steps, asked);
  showRefused(t, id, why);
}

export function recordRefusal(
  t: Turn,
  id: string,
  reason: string,
  steps: readonly StepFact[],
  asked?: AskedFacts,
): void {
  const s = sessionOf(t, id);
  journal(t, {
    kind: 'refused',
    at: t.at,
    terminal: id,
    ...(s.hose === undefined ? {} : { hose: s.hose }),
    credentials: [...s.credentialIds],
    ...(s.driver === undefined ? {} : { driver: s.driver }),
    ...(s.vehicle === undefined ? {} : { vehicle: s.vehicle }),
    reason,
    steps: [...steps],
    ...(asked === undefined ? {} : { asked }),
    revision: t.plan.revision,
  });
}

export function showRefused(t: Turn, id: string, why: string): void {
  setSession(t, id, { name: 'refused', why, typed: '' });
  sessionTimer(t, id, 'shown', terminalPlan(t, id).refusedS * 1_000);
  beep(t, id, 'bad');
  reshow(t, id);
}

/** The fills that flow from a terminal, its own person's first, then by number. */
function flowsFrom(t: Turn, id: string): { readonly plan: HosePlan; readonly fill: Fill }[] {
  const own = sessionOf(t, id).hose;
  return Object.entries(t.hoses)
    .flatMap(([hose, { fill, name }]) =>
      fill && fill.grant.terminal === id && fill.pulses > 0 && name !== 'closing'
        ? [{ plan: hosePlan(t, hose), fill }]
        : [],
    )
    .sort((a, b) => Number(b.plan.id === own) - Number(a.plan.id === own) || a.plan.number - b.plan.number);
}

function flowData(t: Turn, id: string): ScreenData {
  const [first, ...others] = flowsFrom(t, id);
  if (!first) return {};
  const { plan, fill } = first;
  const ul = ulOf(fill);
  const { price, limit } = fill.grant.decision;
  return {
    number: plan.number,
    product: plan.productName,
    ul,
    unit: fill.unit,
    limitUl: limit,
    ...(price === null ? {} : { price, amount: amountOf(ul, price, fill.unit), currency: t.plan.currency }),
    ...(others.length === 0
      ? {}
      : {
          others: others.map((o) => `${o.plan.number} ${o.plan.productName}`),
          otherUls: others.map((o) => String(ulOf(o.fill))),
        }),
  };
}

const filledData = ({ receipts: [last] }: Session): ScreenData =>
  last
    ? {
        number: last.hose,
        product: last.productName,
        ul: last.ul,
        unit: last.unit,
        ...(last.price === null ? {} : { price: last.price, currency: last.currency }),
        ...(last.amount === null ? {} : { amount: last.amount }),
      }
    : {};

/** In the language of whoever fills, where nobody stands at the terminal. */
export function showFlowing(t: Turn, id: string, hose: string): void {
  const { name } = sessionOf(t, id);
  const language = t.hoses[hose]?.fill?.grant.language;
  setSession(t, id, { name: 'flowing', ...(name === 'idle' && language ? { language } : {}) });
  sessionTimer(t, id, 'shown', terminalPlan(t, id).refusedS * 1_000);
  reshow(t, id);
}

export function showFilled(t: Turn, id: string, language: Language): void {
  const { name } = sessionOf(t, id);
  setSession(t, id, { name: 'filled', ...(name === 'idle' ? { language } : {}) });
  sessionTimer(t, id, 'shown', terminalPlan(t, id).refusedS * 1_000);
  reshow(t, id);
}

export function goOut(t: Turn, id: string, why: string): void {
  idle(t, id);
  setSession(t, id, { name: 'out', why });
  reshow(t, id);
}

/** Receipts that a terminal keeps at most for reprints. */
export const KEPT_RECEIPTS = 200;
const DAY_MS = 86_400_000;

export function printReceipt(t: Turn, id: string, signal: SessionSignal<'receipt'>): void {
  const s = sessionOf(t, id);
  const plan = terminalPlan(t, id);
  const number = signal.hose === undefined ? undefined : t.plan.hoses[signal.hose]?.number;
  const found = s.receipts.find(
    (r) =>
      t.at - r.at <= plan.receiptDays * DAY_MS &&
      (number === undefined || r.hose === number) &&
      (signal.fill === undefined || r.fill === signal.fill),
  );
  if (!found || plan.paper === null) {
    refuse(t, id, 'noReceipt', []);
    return;
  }
  t.effects.push({ do: 'print', terminal: id, language: s.language, receipt: found });
  show(t, id, 'receipt');
}
