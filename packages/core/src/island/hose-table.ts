import {
  beginFill,
  checkpoint,
  closeFill,
  countIn,
  fillOf,
  freeHose,
  HOSE_MS,
  noteIfDue,
  readTanks,
  receiptOf,
  setFill,
  stopFill,
  stray,
  tagOf,
  tellFailed,
  tellFlow,
  tellPending,
} from './fill.ts';
import { cell, type HoseRow } from './hose-cell.ts';
import {
  armedFree,
  blockFree,
  blockMore,
  cancelFill,
  cardStopped,
  cardStoppedUnopened,
  clearBlocked,
  closedItself,
  confirmed,
  confirmFree,
  flush,
  haltFill,
  haltStopping,
  haltUnopened,
  haltUnrecorded,
  hungUp,
  lateArmed,
  lateConfirm,
  neverClosed,
  neverOpened,
  noteFailed,
  openedLate,
  returnBlocked,
  returnFill,
  returnFree,
  returnStopping,
  returnUnopened,
  returnUnrecorded,
  runsOn,
  stops,
  strayMore,
  strayUnopened,
  strayUnrecorded,
  strayWhileFree,
  unblock,
  withdrawn,
} from './hose-stops.ts';
import { KEPT_RECEIPTS } from './session-moves.ts';
import {
  alarm,
  type HoseSignalKind,
  hoseOf,
  hosePlan,
  journal,
  sessionOf,
  setHose,
  setSession,
  startHoseTimer,
  stopHoseTimer,
  type Turn,
  tellSession,
  tellTerminal,
} from './turn.ts';
import type { HoseName } from './types.ts';

// What stops, blocks or sets back a hose is in hose-stops.ts; here is the way of a fill, and who may have the hose.
const inUse = cell<'claim'>('tells the person that the hose is in use', [], (t, id, s) =>
  tellSession(t, s.terminal, s.session, { kind: 'notClaimed', why: 'inUse', hose: id }),
);
const out = cell<'lifted'>('notes that the nozzle is out', [], (t, id) => setHose(t, id, { nozzleOut: true }));
const back = cell<'hung'>('notes that the nozzle is back', [], (t, id) => setHose(t, id, { nozzleOut: false }));

function flows(t: Turn, id: string, count: number): void {
  const before = fillOf(t, id).pulses;
  if (!countIn(t, id, count)) return;
  const f = fillOf(t, id);
  if (f.pulses === before) return;
  if (before === 0) {
    stopHoseTimer(t, id, 'lift');
    stopHoseTimer(t, id, 'firstPulse');
    startHoseTimer(t, id, 'longest', hosePlan(t, id).longestMin * 60_000);
  }
  if (f.pulses >= f.stopAtPulses) {
    stopFill(t, id, 'limit');
    return;
  }
  startHoseTimer(t, id, 'noPulse', hosePlan(t, id).noPulseS * 1_000);
  setHose(t, id, { name: f.pulses >= f.slowAtPulses ? 'slowing' : 'flowing' });
  noteIfDue(t, id);
  tellFlow(t, id);
}
const flow = cell<'pulses'>(
  'counts; checkpoint when due; closes at the stop count; in doubt stops',
  ['flowing', 'slowing', 'stopping'],
  (t, id, s) => flows(t, id, s.count),
);
const running: HoseRow = {
  claim: inUse,
  cancel: cancelFill,
  cardStopped,
  noteFailed,
  disarmed: closedItself,
  lifted: out,
  hung: hungUp('stops the fill'),
  pulses: flow,
  returned: returnFill,
  halt: haltFill,
  clear: unblock,
  'due:noPulse': stops('stops the fill', 'noPulses', 'noPulse'),
  'due:longest': stops('stops the fill', 'longest', 'longest'),
};

const ended = cell<'endRecorded'>(
  'the fill is on the record: the hose is free, or blocked',
  ['idle', 'blocked'],
  (t, id) => {
    const receipt = receiptOf(t, id);
    const { terminal, language } = fillOf(t, id).grant;
    if (receipt && t.sessions[terminal])
      setSession(t, terminal, { receipts: [receipt, ...sessionOf(t, terminal).receipts].slice(0, KEPT_RECEIPTS) });
    freeHose(t, id);
    tellTerminal(t, terminal, { kind: 'over', hose: id, language, drawn: receipt !== null });
  },
);

export const HOSE_TABLE: Readonly<Record<HoseName, HoseRow>> = {
  idle: {
    claim: cell(
      'keeps the hose for the person until the decision; not while the nozzle is out',
      ['claimed'],
      (t, id, s) => {
        if (hoseOf(t, id).nozzleOut)
          return tellSession(t, s.terminal, s.session, { kind: 'notClaimed', why: 'nozzleOut', hose: id });
        setHose(t, id, { name: 'claimed', holder: { terminal: s.terminal, session: s.session } });
        startHoseTimer(t, id, 'claim', HOSE_MS.claim);
        tellSession(t, s.terminal, s.session, { kind: 'claimed' });
      },
    ),
    armed: armedFree,
    disarmed: confirmFree,
    lifted: out,
    hung: back,
    pulses: strayWhileFree,
    returned: returnFree,
    halt: blockFree,
    'due:stray': flush,
  },
  claimed: {
    claim: inUse,
    release: cell('the hose is free', ['idle'], (t, id, s) => {
      const { holder } = hoseOf(t, id);
      if (holder?.terminal === s.terminal && holder.session === s.session) freeHose(t, id);
    }),
    grant: cell('writes the authorisation; arms only once it is durable', ['recording', 'idle'], (t, id, s) => {
      const { holder } = hoseOf(t, id);
      if (holder?.terminal !== s.grant.terminal || holder.session !== s.grant.session) return;
      stopHoseTimer(t, id, 'claim');
      if (beginFill(t, id, s.grant)) return startHoseTimer(t, id, 'record', HOSE_MS.record);
      tellFailed(t, id, 'tooLittle');
      freeHose(t, id);
    }),
    armed: armedFree,
    disarmed: confirmFree,
    lifted: out,
    hung: back,
    pulses: strayWhileFree,
    returned: returnFree,
    halt: blockFree,
    'due:claim': cell('the hose is free', ['idle'], (t, id) => {
      tellFailed(t, id, 'noAnswer');
      freeHose(t, id);
    }),
    'due:stray': flush,
  },
  recording: {
    claim: inUse,
    cancel: withdrawn('will not be armed', 'cancelled', 'cancelled'),
    cardStopped: withdrawn('will not be armed', 'cardStopped', 'card-stopped'),
    recorded: cell(
      'durable: arms the hose, or ends the fill when something came between',
      ['arming', 'closing'],
      (t, id, s) => {
        stopHoseTimer(t, id, 'record');
        setFill(t, id, { id: s.fill });
        const f = fillOf(t, id);
        if (f.reason !== null) return closeFill(t, id);
        setHose(t, id, { name: 'arming' });
        t.effects.push({
          do: 'arm',
          hose: id,
          fill: s.fill,
          stopAtPulses: f.stopAtPulses,
          slowAtPulses: f.slowAtPulses,
        });
        startHoseTimer(t, id, 'arm', HOSE_MS.arm);
      },
    ),
    recordFailed: cell('not durable: nothing is armed', ['idle', 'blocked'], (t, id) => {
      alarm(t, 'journal', { hose: id });
      tellFailed(t, id, 'journal');
      freeHose(t, id);
    }),
    armed: lateArmed,
    disarmed: strayUnrecorded('takes the count as in pulses'),
    lifted: out,
    hung: back,
    pulses: strayUnrecorded('counts that moved: alarm, will not be armed'),
    returned: returnUnrecorded,
    halt: haltUnrecorded,
    clear: unblock,
    'due:record': withdrawn('will not be armed, however late the journal answers', 'journal', 'journal'),
    'due:stray': flush,
  },
  arming: {
    claim: inUse,
    cancel: cancelFill,
    cardStopped: cardStoppedUnopened,
    noteFailed,
    armed: cell(
      'the hose is open: hands it over and waits for the nozzle',
      ['armed', 'lifted', 'stopping'],
      (t, id, s) => {
        stopHoseTimer(t, id, 'arm');
        if (stray(t, id, s.count)) return stopFill(t, id, 'doubt');
        setFill(t, id, { base: s.count, armedAt: t.at });
        checkpoint(t, id, 'armed');
        readTanks(t, id, 'fillStart');
        const { holder, nozzleOut } = hoseOf(t, id);
        if (holder) tellSession(t, holder.terminal, holder.session, { kind: 'handed' });
        setHose(t, id, { name: nozzleOut ? 'lifted' : 'armed' });
        const plan = hosePlan(t, id);
        if (nozzleOut) startHoseTimer(t, id, 'firstPulse', plan.firstPulseS * 1_000);
        else startHoseTimer(t, id, 'lift', plan.liftS * 1_000);
      },
    ),
    disarmed: strayUnopened('takes the count as in pulses'),
    lifted: out,
    hung: back,
    pulses: strayUnopened('counts that moved before the dispenser said that it is open: alarm, stops'),
    returned: returnUnopened,
    halt: haltUnopened,
    clear: unblock,
    'due:arm': neverOpened,
    'due:stray': flush,
  },
  armed: {
    claim: inUse,
    cancel: cancelFill,
    cardStopped,
    noteFailed,
    disarmed: closedItself,
    lifted: cell('waits for the first pulse', ['lifted'], (t, id) => {
      stopHoseTimer(t, id, 'lift');
      setHose(t, id, { nozzleOut: true, name: 'lifted' });
      startHoseTimer(t, id, 'firstPulse', hosePlan(t, id).firstPulseS * 1_000);
      checkpoint(t, id, 'lifted');
    }),
    hung: back,
    pulses: flow,
    returned: returnFill,
    halt: haltFill,
    clear: unblock,
    'due:lift': stops('stops', 'notLifted', 'lift'),
  },
  lifted: {
    claim: inUse,
    cancel: cancelFill,
    cardStopped,
    noteFailed,
    disarmed: closedItself,
    lifted: out,
    hung: hungUp('stops: the person does not draw'),
    pulses: flow,
    returned: returnFill,
    halt: haltFill,
    clear: unblock,
    'due:firstPulse': stops('stops', 'notBegun', 'firstPulse'),
  },
  flowing: running,
  slowing: running,
  stopping: {
    claim: inUse,
    noteFailed: cell('alarm', [], (t, id) => alarm(t, 'journal', { hose: id })),
    armed: openedLate,
    disarmed: confirmed,
    lifted: out,
    hung: back,
    pulses: runsOn,
    returned: returnStopping,
    halt: haltStopping,
    clear: unblock,
    'due:disarm': neverClosed,
    'due:settle': cell('writes the end of the fill', ['closing'], closeFill),
    'due:stray': flush,
  },
  closing: {
    claim: inUse,
    endRecorded: ended,
    endFailed: cell('alarm; tries again', [], (t, id) => {
      alarm(t, 'journal', { hose: id });
      startHoseTimer(t, id, 'retry', HOSE_MS.retry);
    }),
    armed: lateArmed,
    disarmed: lateConfirm,
    lifted: out,
    hung: back,
    pulses: strayMore('pulses after closing: alarm and block'),
    returned: returnFree,
    halt: blockMore('blocks the hose'),
    clear: unblock,
    'due:retry': cell('writes the end of the fill again', [], (t, id) => {
      // The counter may have moved since: an older count would have its alarm told again.
      tellPending(t, id);
      const { end, n } = fillOf(t, id);
      if (end) journal(t, { ...end, count: hoseOf(t, id).count }, tagOf(id, 'end', n));
    }),
    'due:stray': flush,
  },
  blocked: {
    claim: cell('tells the person why', [], (t, id, s) =>
      tellSession(t, s.terminal, s.session, {
        kind: 'notClaimed',
        why: hoseOf(t, id).blocks[0] ?? 'service',
        hose: id,
      }),
    ),
    armed: lateArmed,
    disarmed: lateConfirm,
    lifted: out,
    hung: back,
    pulses: strayMore('counts that moved: alarm'),
    returned: returnBlocked,
    halt: blockMore('one more block'),
    clear: clearBlocked,
    'due:stray': flush,
  },
};

export const HOSE_SIGNALS = [
  'claim',
  'release',
  'cancel',
  'cardStopped',
  'grant',
  'recorded',
  'recordFailed',
  'noteFailed',
  'endRecorded',
  'endFailed',
  'armed',
  'disarmed',
  'lifted',
  'hung',
  'pulses',
  'returned',
  'halt',
  'clear',
  'due:claim',
  'due:record',
  'due:arm',
  'due:lift',
  'due:firstPulse',
  'due:noPulse',
  'due:longest',
  'due:disarm',
  'due:settle',
  'due:retry',
  'due:stray',
] as const satisfies readonly HoseSignalKind[];
export const HOSE_NAMES = Object.keys(HOSE_TABLE) as HoseName[];
