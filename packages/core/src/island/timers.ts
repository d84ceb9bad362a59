import { HOSE_MS } from './fill.ts';
import { SESSION_MS } from './session-moves.ts';

interface TimerWords {
  readonly of: 'session' | 'hose';
  readonly runs: string;
  /** The field of the fleet that sets it, or milliseconds. */
  readonly length: string | number;
  /** What the record then says. */
  readonly record: string;
}

/** Every timer of the machine, by the name that its 'due' signal carries; a test holds this against the tables. */
export const TIMERS: Readonly<Record<string, TimerWords>> = {
  answer: {
    of: 'session',
    runs: 'from the last key, while a person is asked something or chooses',
    length: 'terminal: answer',
    record: 'refused, reason `noAnswerInTime`',
  },
  edge: {
    of: 'session',
    runs: 'while the box itself decides, compares a PIN or looks something up; twice as long until a hose is open',
    length: SESSION_MS.edge,
    record: 'refused, reason `noAnswer`',
  },
  shown: {
    of: 'session',
    runs: 'while a refusal, a busy hose, an authorisation or what was filled is shown, and from each count that is shown',
    length: 'terminal: refused',
    record: 'nothing new: the refusal or the authorisation or the fill is on the record',
  },
  claim: {
    of: 'hose',
    runs: 'while a hose is kept for somebody who is decided on',
    length: HOSE_MS.claim,
    record: 'refused, reason `noAnswer`',
  },
  record: {
    of: 'hose',
    runs: 'until the authorisation is durable',
    length: HOSE_MS.record,
    record: 'the fill ends as `journal` once it is durable after all',
  },
  arm: {
    of: 'hose',
    runs: 'until the dispenser says that it is open',
    length: HOSE_MS.arm,
    record: 'alarm `noArm`; the fill ends as `device`, with the timer’s name',
  },
  lift: {
    of: 'hose',
    runs: 'until the nozzle is lifted or fuel flows',
    length: 'hose: lift',
    record: 'the fill ends as `notLifted`, with the timer’s name',
  },
  firstPulse: {
    of: 'hose',
    runs: 'from the lifted nozzle to the first pulse',
    length: 'hose: firstPulse',
    record: 'the fill ends as `notBegun`, with the timer’s name',
  },
  noPulse: {
    of: 'hose',
    runs: 'from each count that moved',
    length: 'hose: noPulse',
    record: 'the fill ends as `noPulses`, with the timer’s name',
  },
  longest: {
    of: 'hose',
    runs: 'from the first pulse',
    length: 'hose: longest',
    record: 'the fill ends as `longest`, with the timer’s name',
  },
  disarm: {
    of: 'hose',
    runs: 'until the dispenser says that it is closed',
    length: HOSE_MS.disarm,
    record: 'alarm `noDisarm`; the end of the fill has the timer’s name; the hose is blocked',
  },
  settle: {
    of: 'hose',
    runs: 'after closing, from the last pulse',
    length: HOSE_MS.settle,
    record: 'the end of the fill is written',
  },
  retry: {
    of: 'hose',
    runs: 'after the end of a fill could not be written',
    length: HOSE_MS.retry,
    record: 'alarm `journal` each time; the end is written again',
  },
  stray: {
    of: 'hose',
    runs: 'between two alarms about pulses that nobody was authorised for',
    length: HOSE_MS.stray,
    record: 'alarm with the pulses since the last',
  },
};
