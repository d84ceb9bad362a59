import { hosesAt } from './plan.ts';
import {
  authorise,
  begin,
  chooseHose,
  goOut,
  idle,
  keyed,
  next,
  present,
  printReceipt,
  recordRefusal,
  refuse,
  release,
  reshow,
  SESSION_MS,
  setLanguage,
  showFilled,
  showFlowing,
  showRefused,
} from './session-moves.ts';
import {
  beep,
  journal,
  type SessionSignal,
  type SessionSignalKind,
  sessionOf,
  sessionTimer,
  setSession,
  show,
  type Turn,
  tellHose,
  terminalPlan,
} from './turn.ts';
import type { SessionName } from './types.ts';

export interface SessionCell<K extends SessionSignalKind = SessionSignalKind> {
  readonly does: string;
  readonly to: readonly SessionName[];
  readonly run: (t: Turn, id: string, signal: SessionSignal<K>) => void;
}
type Row = { readonly [K in SessionSignalKind]?: SessionCell<K> };

const cell = <K extends SessionSignalKind>(
  does: string,
  to: readonly SessionName[],
  run: SessionCell<K>['run'],
): SessionCell<K> => ({ does, to, run });

const leave = <K extends SessionSignalKind>(does: string): SessionCell<K> =>
  cell(does, ['idle'], (t, id) => idle(t, id));
const out = cell<'siteOut'>('out of service', ['out'], (t, id, s) => goOut(t, id, s.why));
const language = cell<'language'>('shows the same in the other language', [], setLanguage);
const digit = cell<'digit'>('adds the digit', [], (t, id, s) => keyed(t, id, s.digit));
const clear = cell<'clear'>('takes back what was keyed', [], (t, id) => {
  setSession(t, id, { typed: '' });
  reshow(t, id);
});
const late = <K extends SessionSignalKind>(does: string): SessionCell<K> =>
  cell(does, ['refused'], (t, id) => refuse(t, id, 'noAnswer', []));
const nextPerson = cell<'credential'>('the next person begins', ['asking'], (t, id, s) => begin(t, id, s.number));
const nextKeyed = cell<'digit'>('the next person keys a number', ['card'], (t, id, s) => {
  idle(t, id);
  begin(t, id, null);
  keyed(t, id, s.digit);
});
const bad = <K extends SessionSignalKind>(does: string): SessionCell<K> =>
  cell(does, [], (t, id) => beep(t, id, 'bad'));
const receipt = cell<'receipt'>(
  'prints the last receipt from here, or says that there is none',
  ['refused'],
  printReceipt,
);

const stoppedCard = cell<'cardStopped'>('the office stopped the card: refuses', ['refused'], (t, id) =>
  refuse(t, id, 'card-stopped', []),
);
const tooLate = cell<'due:answer'>('ends the session; the record says that no answer came', ['idle'], (t, id) => {
  recordRefusal(t, id, 'noAnswerInTime', []);
  idle(t, id);
});

const showFlow = cell<'flow'>('fuel flows at a hose from here: shows how far it is', ['flowing'], (t, id, s) =>
  showFlowing(t, id, s.hose),
);
const showOver = cell<'over'>('shows what was filled', ['filled'], (t, id, s) => {
  if (s.drawn) showFilled(t, id, s.language);
});
const misread = cell<'misread'>('says that the card was not read', ['refused'], (t, id) =>
  refuse(t, id, 'misread', []),
);
const cancelHose = cell<'cancel'>('tells the hose; the terminal is free', ['idle'], (t, id) => {
  const s = sessionOf(t, id);
  if (s.hose !== undefined) tellHose(t, s.hose, { kind: 'cancel', terminal: id, session: s.number });
  idle(t, id);
});
const taken = cell<'taken'>('says why the hose stops; the fill has its own record', ['refused'], (t, id, s) =>
  showRefused(t, id, s.why),
);

const typing = {
  digit,
  clear,
  cancel: leave<'cancel'>('ends the session'),
  language,
  'due:answer': tooLate,
  cardStopped: stoppedCard,
  siteOut: out,
} satisfies Row;

export const SESSION_TABLE: Readonly<Record<SessionName, Row>> = {
  idle: {
    credential: nextPerson,
    misread,
    digit: nextKeyed,
    language,
    receipt,
    flow: showFlow,
    over: showOver,
    siteOut: out,
  },
  asking: {
    asks: cell(
      'asks for the first thing that is missing; with nothing missing, for the hose; refuses when that is certain',
      ['card', 'pin', 'question', 'choosing', 'refused'],
      (t, id, s) => {
        setSession(t, id, {
          asks: s.asks,
          credentialIds: s.credentials,
          ...(s.driver === undefined ? {} : { driver: s.driver }),
          ...(s.vehicle === undefined ? {} : { vehicle: s.vehicle }),
        });
        if (s.refused) refuse(t, id, s.refused.rule, s.refused.steps, s.refused.asked);
        else next(t, id);
      },
    ),
    cancel: leave('ends the session'),
    'due:edge': late('says that no answer came'),
    cardStopped: stoppedCard,
    language,
    siteOut: out,
  },
  card: {
    ...typing,
    credential: cell('adds the credential', ['asking'], (t, id, s) => present(t, id, s.number)),
    misread: cell('says that the card was not read', [], (t, id) => {
      beep(t, id, 'bad');
      show(t, id, 'misread');
    }),
    enter: cell('takes what was keyed as a number', ['asking'], (t, id) => {
      const { typed } = sessionOf(t, id);
      if (typed === '') beep(t, id, 'bad');
      else present(t, id, typed);
    }),
  },
  pin: {
    ...typing,
    enter: cell('writes the attempt down before it is compared', ['pinCheck'], (t, id) => {
      const s = sessionOf(t, id);
      if (s.typed === '') {
        beep(t, id, 'bad');
        return;
      }
      setSession(t, id, { name: 'pinCheck' });
      const entry = { kind: 'pin', at: t.at, terminal: id, driver: s.driver ?? 'unknown', step: 'attempt' } as const;
      journal(t, entry, `terminal|${id}|pin|${s.number}`);
      sessionTimer(t, id, 'edge', SESSION_MS.edge);
      show(t, id, 'wait');
    }),
  },
  pinCheck: {
    recorded: cell('durable: compares', [], (t, id) => {
      const s = sessionOf(t, id);
      t.effects.push({
        do: 'checkPin',
        terminal: id,
        session: s.number,
        driver: s.driver ?? 'unknown',
        digits: s.typed,
      });
      setSession(t, id, { typed: '' });
    }),
    recordFailed: cell('not durable: refuses', ['refused'], (t, id) => refuse(t, id, 'journal', [])),
    pinChecked: cell(
      'right: goes on. Wrong: once more. Locked or not set: refuses',
      ['asking', 'pin', 'refused'],
      (t, id, s) => {
        const { driver, gathered } = sessionOf(t, id);
        journal(t, { kind: 'pin', at: t.at, terminal: id, driver: driver ?? 'unknown', step: s.result });
        setSession(t, id, { gathered: { ...gathered, pin: s.result } });
        if (s.result === 'right') present(t, id, null);
        else if (s.result === 'wrong') {
          setSession(t, id, { name: 'pin', typed: '' });
          sessionTimer(t, id, 'answer', terminalPlan(t, id).answerS * 1_000);
          beep(t, id, 'bad');
          show(t, id, 'pinWrong');
        } else refuse(t, id, s.result === 'locked' ? 'pinLocked' : 'pinNotSet', []);
      },
    ),
    cancel: leave('ends the session; the attempt counts'),
    'due:edge': late('says that no answer came; the attempt counts'),
    cardStopped: stoppedCard,
    siteOut: out,
  },
  question: {
    ...typing,
    enter: cell('takes the answer', ['asking'], (t, id) => answer(t, id, sessionOf(t, id).typed)),
    answer: cell('takes the answer', ['asking'], (t, id, s) => answer(t, id, s.text)),
  },
  choosing: {
    ...typing,
    digit: cell('adds the digit; chooses when only one hose can be meant', [], (t, id, s) => {
      keyed(t, id, s.digit);
      const { typed } = sessionOf(t, id);
      const fit = hosesAt(t.plan, id).filter((h) => String(h.number).startsWith(typed));
      const only = fit[0];
      if (fit.length === 1 && only && String(only.number) === typed) chooseHose(t, id, only.id);
    }),
    enter: cell('chooses the hose that was keyed', [], (t, id) => {
      const { typed } = sessionOf(t, id);
      const hose = hosesAt(t.plan, id).find((h) => String(h.number) === typed);
      if (hose) chooseHose(t, id, hose.id);
      else {
        beep(t, id, 'bad');
        setSession(t, id, { typed: '' });
        reshow(t, id);
      }
    }),
    choose: cell('asks for the hose', [], (t, id, s) => {
      if (hosesAt(t.plan, id).some((h) => h.id === s.hose)) chooseHose(t, id, s.hose);
      else beep(t, id, 'bad');
    }),
    claimed: cell('the hose is kept: asks for the decision', ['deciding'], (t, id) => {
      const s = sessionOf(t, id);
      setSession(t, id, { name: 'deciding', typed: '' });
      show(t, id, 'wait');
      sessionTimer(t, id, 'edge', SESSION_MS.edge);
      t.effects.push({
        do: 'decide',
        terminal: id,
        session: s.number,
        hose: s.hose ?? '',
        gathered: s.gathered,
      });
    }),
    notClaimed: cell('says why the hose cannot be had', ['busy'], (t, id, s) => {
      setSession(t, id, { name: 'busy', why: s.why, typed: '' });
      sessionTimer(t, id, 'shown', terminalPlan(t, id).refusedS * 1_000);
      beep(t, id, 'bad');
      reshow(t, id);
    }),
  },
  deciding: {
    decided: cell('approved: hands it to the hose. Else refuses', ['granting', 'refused'], (t, id, s) =>
      authorise(t, id, s.decision),
    ),
    handFailed: cell('says why', ['refused'], (t, id, s) => refuse(t, id, s.why, [])),
    cancel: cell('leaves the hose; ends the session', ['idle'], (t, id) => {
      release(t, id);
      idle(t, id);
    }),
    'due:edge': cell('leaves the hose; says that no answer came', ['refused'], (t, id) => {
      release(t, id);
      refuse(t, id, 'noAnswer', []);
    }),
    cardStopped: cell('the office stopped the card: leaves the hose, refuses', ['refused'], (t, id) => {
      release(t, id);
      refuse(t, id, 'card-stopped', []);
    }),
    siteOut: cell('leaves the hose; out of service', ['out'], (t, id, s) => {
      release(t, id);
      goOut(t, id, s.why);
    }),
  },
  granting: {
    handed: cell('says how much and asks to lift the nozzle', ['authorised'], (t, id) => {
      setSession(t, id, { name: 'authorised', chosen: false });
      sessionTimer(t, id, 'shown', terminalPlan(t, id).refusedS * 1_000);
      beep(t, id, 'good');
      reshow(t, id);
    }),
    handFailed: cell('says why', ['refused'], (t, id, s) => refuse(t, id, s.why, [])),
    cancel: cell('tells the hose; ends the session', ['idle'], (t, id) => {
      const s = sessionOf(t, id);
      if (s.hose !== undefined) tellHose(t, s.hose, { kind: 'cancel', terminal: id, session: s.number });
      idle(t, id);
    }),
    'due:edge': cell('tells the hose; says that no answer came', ['refused'], (t, id) => {
      const s = sessionOf(t, id);
      if (s.hose !== undefined) tellHose(t, s.hose, { kind: 'cancel', terminal: id, session: s.number });
      refuse(t, id, 'noAnswer', []);
    }),
    siteOut: out,
  },
  authorised: {
    'due:shown': leave('the terminal is free'),
    flow: cell('fuel flows at the hose: shows how far it is; of another hose nothing', ['flowing'], (t, id, s) => {
      if (sessionOf(t, id).hose === s.hose) showFlowing(t, id, s.hose);
    }),
    over: cell('shows what was filled; nothing drawn: the terminal is free', ['filled', 'idle'], (t, id, s) => {
      if (sessionOf(t, id).hose !== s.hose) return;
      if (s.drawn) showFilled(t, id, s.language);
      else idle(t, id);
    }),
    cancel: cancelHose,
    taken,
    credential: nextPerson,
    misread,
    digit: nextKeyed,
    language,
    siteOut: out,
  },
  flowing: {
    'due:shown': leave('nothing has flowed for a while: the terminal is free'),
    flow: cell('shows how far it is', [], (t, id, s) => showFlowing(t, id, s.hose)),
    over: showOver,
    cancel: cancelHose,
    taken,
    credential: nextPerson,
    misread,
    digit: nextKeyed,
    language,
    siteOut: out,
  },
  filled: {
    'due:shown': leave('the terminal is free'),
    over: cell('shows what was filled last', [], (t, id, s) => {
      if (s.drawn) showFilled(t, id, s.language);
    }),
    cancel: leave('the terminal is free'),
    clear: leave('the terminal is free'),
    enter: leave('the terminal is free'),
    credential: nextPerson,
    misread,
    digit: nextKeyed,
    language,
    receipt,
    siteOut: out,
  },
  refused: {
    'due:shown': leave('the terminal is free'),
    cancel: leave('the terminal is free'),
    clear: leave('the terminal is free'),
    enter: leave('the terminal is free'),
    credential: nextPerson,
    language,
    siteOut: out,
  },
  busy: {
    'due:shown': cell('back to the hoses', ['choosing'], (t, id) => next(t, id)),
    enter: cell('back to the hoses', ['choosing'], (t, id) => next(t, id)),
    clear: cell('back to the hoses', ['choosing'], (t, id) => next(t, id)),
    cancel: leave('ends the session'),
    cardStopped: stoppedCard,
    language,
    siteOut: out,
  },
  out: {
    siteBack: leave('in service'),
    siteOut: out,
    credential: bad('nothing but a sound'),
    digit: bad('nothing but a sound'),
    language,
  },
};

function answer(t: Turn, id: string, text: string): void {
  const { asks, gathered } = sessionOf(t, id);
  const first = asks[0];
  if (text.trim() === '' || first?.ask !== 'question') {
    beep(t, id, 'bad');
    return;
  }
  const answers = { ...gathered.answers, [first.question]: text.trim() };
  setSession(t, id, { gathered: { ...gathered, answers } });
  present(t, id, null);
}

export const SESSION_SIGNALS = [
  'credential',
  'misread',
  'digit',
  'enter',
  'clear',
  'cancel',
  'choose',
  'answer',
  'language',
  'receipt',
  'asks',
  'pinChecked',
  'decided',
  'recorded',
  'recordFailed',
  'claimed',
  'notClaimed',
  'handed',
  'handFailed',
  'flow',
  'over',
  'taken',
  'cardStopped',
  'due:answer',
  'due:shown',
  'due:edge',
  'siteOut',
  'siteBack',
] as const satisfies readonly SessionSignalKind[];
export const SESSION_NAMES = Object.keys(SESSION_TABLE) as SessionName[];
