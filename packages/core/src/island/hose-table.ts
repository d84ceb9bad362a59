import {
  addBlock,
  beginFill,
  checkpoint,
  closeFill,
  countIn,
  endOf,
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
  tellStray,
} from './fill.ts';
import {
  alarm,
  type HoseSignal,
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
} from './turn.ts';
import type { EndReason, HoseName } from './types.ts';

/** One cell: what is done, in words, and where it may lead. */
export interface HoseCell<K extends HoseSignalKind = HoseSignalKind> {
  readonly does: string;
  readonly to: readonly HoseName[];
  readonly run: (t: Turn, id: string, signal: HoseSignal<K>) => void;
}
type Row = { readonly [K in HoseSignalKind]?: HoseCell<K> };

const cell = <K extends HoseSignalKind>(
  does: string,
  to: readonly HoseName[],
  run: HoseCell<K>['run'],
): HoseCell<K> => ({
  does,
  to,
  run,
});

// Shared by all states.
const inUse = cell<'claim'>('tells the person that the hose is in use', [], (t, id, s) =>
  tellSession(t, s.terminal, s.session, { kind: 'notClaimed', why: 'inUse', hose: id }),
);
const out = cell<'lifted'>('notes that the nozzle is out', [], (t, id) => setHose(t, id, { nozzleOut: true }));
const back = cell<'hung'>('notes that the nozzle is back', [], (t, id) => setHose(t, id, { nozzleOut: false }));
const resumed = (t: Turn, id: string, block: HoseSignal<'clear'>) => {
  const { blocks } = hoseOf(t, id);
  if (!blocks.includes(block.block)) return;
  setHose(t, id, { blocks: blocks.filter((b) => b !== block.block) });
  journal(t, { kind: 'resumed', at: t.at, hose: id, block: block.block, by: block.by });
};
const unblock = cell<'clear'>('takes the block away', [], resumed);
const flush = cell<'due:stray'>('writes the alarm with the pulses that came since the last', [], tellStray);

function halted(t: Turn, id: string, s: HoseSignal<'halt'>): void {
  if (s.block === 'device' && !hoseOf(t, id).blocks.includes('device'))
    alarm(t, 'device', { hose: id, ...(s.words === undefined ? {} : { words: s.words.slice(0, 200) }) });
  addBlock(t, id, s.block);
}

/** The counter after silence: what moved meanwhile is told, never lost. */
function caughtUp(t: Turn, id: string, s: HoseSignal<'returned'>): void {
  const h = hoseOf(t, id);
  if (h.count !== null && s.count < h.count)
    alarm(t, 'counterReset', { hose: id, count: s.count, pulses: s.count - h.count });
  else if (h.count !== null && s.count > h.count)
    alarm(t, 'pulsesWhileOff', { hose: id, count: s.count, pulses: s.count - h.count });
  setHose(t, id, { count: s.count, countAt: t.at, nozzleOut: s.lifted });
  resumed(t, id, { kind: 'clear', block: 'device', by: 'the dispenser' });
}

const strayWhileFree = cell<'pulses'>(
  'counts that moved: alarm, closes the hose, blocks it; tells who holds it',
  ['blocked'],
  (t, id, s) => {
    if (!stray(t, id, s.count)) return;
    tellFailed(t, id, 'stray');
    setHose(t, id, { name: 'blocked', holder: null });
    stopHoseTimer(t, id, 'claim');
  },
);
const blockFree = cell<'halt'>('blocks the hose; tells who holds it', ['blocked'], (t, id, s) => {
  halted(t, id, s);
  tellFailed(t, id, s.block);
  stopHoseTimer(t, id, 'claim');
  setHose(t, id, { name: 'blocked', holder: null });
});
const returnFree = cell<'returned'>('takes the count; an alarm tells of pulses nobody saw', [], caughtUp);
const lateConfirm = cell<'disarmed'>('takes the count as in pulses', [], (t, id, s) => {
  stray(t, id, s.count);
});
const lateArmed = cell<'armed'>('closes the hose again: nothing is authorised', [], (t, id, s) => {
  stray(t, id, s.count);
  t.effects.push({ do: 'disarm', hose: id });
});
/** The same while the hose is free or kept for somebody. */
const confirmFree = cell<'disarmed'>('takes the count as in pulses', ['blocked'], (t, id, s) => {
  strayWhileFree.run(t, id, { kind: 'pulses', count: s.count });
});
const armedFree = cell<'armed'>(
  'closes the hose again: nothing is authorised; then as in pulses',
  ['blocked'],
  (t, id, s) => {
    t.effects.push({ do: 'disarm', hose: id });
    strayWhileFree.run(t, id, { kind: 'pulses', count: s.count });
  },
);

// While a fill is on the record.
const stops = <K extends HoseSignalKind>(does: string, reason: EndReason, timer?: string) =>
  cell<K>(does, ['stopping'], (t, id) => {
    if (timer) setFill(t, id, { timers: [...fillOf(t, id).timers, timer] });
    stopFill(t, id, reason);
  });
const haltFill = cell<'halt'>('blocks the hose and stops the fill', ['stopping'], (t, id, s) => {
  halted(t, id, s);
  stopFill(t, id, endOf(s.block));
});
const cancelFill = cell<'cancel'>('stops the fill when its own person cancels', ['stopping'], (t, id, s) => {
  const { holder } = hoseOf(t, id);
  if (holder?.terminal === s.terminal && holder.session === s.session) stopFill(t, id, 'cancelled');
});
const noteFailed = cell<'noteFailed'>('stops the fill: the journal does not hold it', ['stopping'], (t, id) => {
  alarm(t, 'journal', { hose: id });
  stopFill(t, id, 'journal');
});
const returnFill = cell<'returned'>(
  'counts what came meanwhile and stops the fill: the dispenser was away',
  ['stopping'],
  (t, id, s) => {
    const { count } = hoseOf(t, id);
    if (count !== null && s.count < count) {
      alarm(t, 'counterReset', { hose: id, count: s.count, pulses: s.count - count });
      setHose(t, id, { count: s.count, countAt: t.at });
    } else countIn(t, id, s.count);
    setHose(t, id, { nozzleOut: s.lifted });
    resumed(t, id, { kind: 'clear', block: 'device', by: 'the dispenser' });
    stopFill(t, id, 'device');
  },
);
const closedItself = cell<'disarmed'>(
  'the dispenser closed by itself: limit when the count says so, else device',
  ['stopping'],
  (t, id, s) => {
    if (!countIn(t, id, s.count)) return;
    const f = fillOf(t, id);
    stopFill(t, id, f.pulses >= f.stopAtPulses ? 'limit' : 'device');
    setFill(t, id, { closed: true });
    startHoseTimer(t, id, 'settle', HOSE_MS.settle);
  },
);

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
}
const flow = cell<'pulses'>(
  'counts; checkpoint when due; closes at the stop count; in doubt stops',
  ['flowing', 'slowing', 'stopping'],
  (t, id, s) => flows(t, id, s.count),
);
const running: Row = {
  claim: inUse,
  cancel: cancelFill,
  noteFailed,
  disarmed: closedItself,
  lifted: out,
  hung: cell('stops the fill', ['stopping'], (t, id) => {
    setHose(t, id, { nozzleOut: false });
    stopFill(t, id, 'hung');
  }),
  pulses: flow,
  returned: returnFill,
  halt: haltFill,
  clear: unblock,
  'due:noPulse': stops('stops the fill', 'noPulses', 'noPulse'),
  'due:longest': stops('stops the fill', 'longest', 'longest'),
};

/** While the authorisation is on its way into the journal: it is never armed once something came between. */
function withdraw(t: Turn, id: string, reason: EndReason, why: string): void {
  setFill(t, id, { reason: fillOf(t, id).reason ?? reason });
  tellFailed(t, id, why);
}

const ended = cell<'endRecorded'>(
  'the fill is on the record: the hose is free, or blocked',
  ['idle', 'blocked'],
  (t, id) => {
    const receipt = receiptOf(t, id);
    const { terminal } = fillOf(t, id).grant;
    if (receipt && t.sessions[terminal])
      setSession(t, terminal, { receipts: [receipt, ...sessionOf(t, terminal).receipts].slice(0, 10) });
    freeHose(t, id);
  },
);

export const HOSE_TABLE: Readonly<Record<HoseName, Row>> = {
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
    cancel: cell('will not be armed', [], (t, id) => withdraw(t, id, 'cancelled', 'cancelled')),
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
    disarmed: cell('takes the count as in pulses', [], (t, id, s) => {
      if (stray(t, id, s.count)) withdraw(t, id, 'doubt', 'stray');
    }),
    lifted: out,
    hung: back,
    pulses: cell('counts that moved: alarm, will not be armed', [], (t, id, s) => {
      if (!stray(t, id, s.count)) return;
      withdraw(t, id, 'doubt', 'stray');
    }),
    returned: cell('takes the count; will not be armed', [], (t, id, s) => {
      caughtUp(t, id, s);
      withdraw(t, id, 'device', 'device');
    }),
    halt: cell('blocks the hose; will not be armed', [], (t, id, s) => {
      halted(t, id, s);
      withdraw(t, id, endOf(s.block), s.block);
    }),
    clear: unblock,
    'due:record': cell('will not be armed, however late the journal answers', [], (t, id) =>
      withdraw(t, id, 'journal', 'journal'),
    ),
    'due:stray': flush,
  },
  arming: {
    claim: inUse,
    cancel: cancelFill,
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
    disarmed: cell('takes the count as in pulses', ['stopping'], (t, id, s) => {
      if (stray(t, id, s.count)) stopFill(t, id, 'doubt');
    }),
    lifted: out,
    hung: back,
    pulses: cell(
      'counts that moved before the dispenser said that it is open: alarm, stops',
      ['stopping'],
      (t, id, s) => {
        if (stray(t, id, s.count)) stopFill(t, id, 'doubt');
      },
    ),
    returned: cell('takes the count and stops: the dispenser was away', ['stopping'], (t, id, s) => {
      caughtUp(t, id, s);
      tellFailed(t, id, 'device');
      stopFill(t, id, 'device');
    }),
    halt: cell('blocks the hose, stops, tells who holds it', ['stopping'], (t, id, s) => {
      halted(t, id, s);
      tellFailed(t, id, s.block);
      stopFill(t, id, endOf(s.block));
    }),
    clear: unblock,
    'due:arm': cell('no word from the dispenser: alarm, stops', ['stopping'], (t, id) => {
      alarm(t, 'noArm', { hose: id });
      tellFailed(t, id, 'device');
      setFill(t, id, { timers: [...fillOf(t, id).timers, 'arm'] });
      stopFill(t, id, 'device');
    }),
    'due:stray': flush,
  },
  armed: {
    claim: inUse,
    cancel: cancelFill,
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
    noteFailed,
    disarmed: closedItself,
    lifted: out,
    hung: cell('stops: the person does not draw', ['stopping'], (t, id) => {
      setHose(t, id, { nozzleOut: false });
      stopFill(t, id, 'hung');
    }),
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
    armed: cell('the word that it is open came late: closes it again', [], (t, id, s) => {
      if (fillOf(t, id).base === null) setFill(t, id, { base: s.count, armedAt: t.at });
      t.effects.push({ do: 'disarm', hose: id });
    }),
    disarmed: cell('closed: waits until no pulse comes', [], (t, id, s) => {
      countIn(t, id, s.count);
      stopHoseTimer(t, id, 'disarm');
      setFill(t, id, { closed: true });
      startHoseTimer(t, id, 'settle', HOSE_MS.settle);
    }),
    lifted: out,
    hung: back,
    pulses: cell('counts what runs on, into the fill', [], (t, id, s) => {
      const before = fillOf(t, id).pulses;
      countIn(t, id, s.count);
      if (fillOf(t, id).closed && fillOf(t, id).pulses !== before) startHoseTimer(t, id, 'settle', HOSE_MS.settle);
    }),
    returned: cell('counts what came meanwhile; the dispenser is closed', [], (t, id, s) => {
      const { count } = hoseOf(t, id);
      if (count !== null && s.count < count) {
        alarm(t, 'counterReset', { hose: id, count: s.count, pulses: s.count - count });
        setHose(t, id, { count: s.count, countAt: t.at });
      } else countIn(t, id, s.count);
      setHose(t, id, { nozzleOut: s.lifted });
      resumed(t, id, { kind: 'clear', block: 'device', by: 'the dispenser' });
      stopHoseTimer(t, id, 'disarm');
      setFill(t, id, { closed: true });
      startHoseTimer(t, id, 'settle', HOSE_MS.settle);
    }),
    halt: cell('blocks the hose and closes it once more', [], (t, id, s) => {
      halted(t, id, s);
      t.effects.push({ do: 'disarm', hose: id });
    }),
    clear: unblock,
    'due:disarm': cell('no word from the dispenser: alarm, blocks unless it is known to be away', [], (t, id) => {
      alarm(t, 'noDisarm', { hose: id });
      if (!hoseOf(t, id).blocks.includes('device')) addBlock(t, id, 'valve');
      setFill(t, id, { timers: [...fillOf(t, id).timers, 'disarm'], closed: true });
      t.effects.push({ do: 'disarm', hose: id });
      startHoseTimer(t, id, 'settle', HOSE_MS.settle);
    }),
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
    pulses: cell('pulses after closing: alarm and block', [], (t, id, s) => {
      stray(t, id, s.count);
    }),
    returned: returnFree,
    halt: cell('blocks the hose', [], halted),
    clear: unblock,
    'due:retry': cell('writes the end of the fill again', [], (t, id) => {
      const f = fillOf(t, id);
      if (f.end) journal(t, f.end, tagOf(id, 'end', f.n));
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
    pulses: cell('counts that moved: alarm', [], (t, id, s) => {
      stray(t, id, s.count);
    }),
    returned: cell('takes the count; the dispenser is back', ['idle'], (t, id, s) => {
      caughtUp(t, id, s);
      if (hoseOf(t, id).blocks.length === 0) setHose(t, id, { name: 'idle' });
    }),
    halt: cell('one more block', [], halted),
    clear: cell('takes the block away; free when it was the last', ['idle'], (t, id, s) => {
      resumed(t, id, s);
      if (hoseOf(t, id).blocks.length === 0) setHose(t, id, { name: 'idle' });
    }),
    'due:stray': flush,
  },
};

export const HOSE_SIGNALS = [
  'claim',
  'release',
  'cancel',
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
