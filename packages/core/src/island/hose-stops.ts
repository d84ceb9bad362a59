import {
  addBlock,
  countIn,
  endOf,
  fillOf,
  HOSE_MS,
  setFill,
  stopFill,
  stray,
  tellFailed,
  tellPending,
  tellStray,
  tellTaken,
} from './fill.ts';
import { cell } from './hose-cell.ts';
import {
  alarm,
  type HoseSignal,
  type HoseSignalKind,
  hoseOf,
  journal,
  setHose,
  startHoseTimer,
  stopHoseTimer,
  type Turn,
} from './turn.ts';
import type { EndReason } from './types.ts';

/** Everything that stops, blocks or sets a hose back, for every state: one place to read what happens in doubt. */

function resumed(t: Turn, id: string, block: HoseSignal<'clear'>): void {
  const { blocks } = hoseOf(t, id);
  if (!blocks.includes(block.block)) return;
  setHose(t, id, { blocks: blocks.filter((b) => b !== block.block) });
  journal(t, { kind: 'resumed', at: t.at, hose: id, block: block.block, by: block.by });
}

/** Takes a block on the record; alarms of tanks and of the whole site are written where they are noticed. */
function halted(t: Turn, id: string, s: HoseSignal<'halt'>): void {
  const words = s.words === undefined ? {} : { words: s.words.slice(0, 200) };
  if (!hoseOf(t, id).blocks.includes(s.block)) {
    if (s.block === 'device') alarm(t, 'device', { hose: id, ...words });
    else if (s.block === 'doubt') alarm(t, 'pulser', { hose: id, ...words });
    // By hand it comes with a name; a plan and a box that stops have records of their own.
    else if (s.block === 'service' && s.words !== undefined) alarm(t, 'service', { hose: id, ...words });
  }
  addBlock(t, id, s.block);
}

const backIsDevice = (t: Turn, id: string) => resumed(t, id, { kind: 'clear', block: 'device', by: 'the dispenser' });

/** The counter after silence: what moved meanwhile is told, never lost. */
function caughtUp(t: Turn, id: string, s: HoseSignal<'returned'>): void {
  tellPending(t, id);
  const h = hoseOf(t, id);
  if (h.count !== null && s.count !== h.count)
    alarm(t, s.count < h.count ? 'counterReset' : 'pulsesWhileOff', {
      hose: id,
      count: s.count,
      pulses: s.count - h.count,
    });
  setHose(t, id, { count: s.count, countAt: t.at, nozzleOut: s.lifted });
  backIsDevice(t, id);
}

/** The same in mid-fill: what came meanwhile belongs to the fill. */
function caughtUpInFill(t: Turn, id: string, s: HoseSignal<'returned'>): void {
  const { count } = hoseOf(t, id);
  if (count !== null && s.count < count) {
    tellPending(t, id);
    alarm(t, 'counterReset', { hose: id, count: s.count, pulses: s.count - count });
    setHose(t, id, { count: s.count, countAt: t.at });
  } else countIn(t, id, s.count);
  setHose(t, id, { nozzleOut: s.lifted });
  backIsDevice(t, id);
}

const withTimer = (t: Turn, id: string, timer: string) => setFill(t, id, { timers: [...fillOf(t, id).timers, timer] });

// In every state.
export const unblock = cell<'clear'>('takes the block away', [], resumed);
export const flush = cell<'due:stray'>('writes the alarm with the pulses that came since the last', [], tellStray);

// Nobody draws: the hose is free, kept for somebody, or blocked.
export const strayWhileFree = cell<'pulses'>(
  'counts that moved: alarm, closes the hose, blocks it; tells who holds it',
  ['blocked'],
  (t, id, s) => {
    if (!stray(t, id, s.count)) return;
    tellFailed(t, id, 'stray');
    setHose(t, id, { name: 'blocked', holder: null });
    stopHoseTimer(t, id, 'claim');
  },
);
export const blockFree = cell<'halt'>('blocks the hose; tells who holds it', ['blocked'], (t, id, s) => {
  halted(t, id, s);
  tellFailed(t, id, s.block);
  stopHoseTimer(t, id, 'claim');
  setHose(t, id, { name: 'blocked', holder: null });
});
export const returnFree = cell<'returned'>('takes the count; an alarm tells of pulses nobody saw', [], caughtUp);
export const lateConfirm = cell<'disarmed'>('takes the count as in pulses', [], (t, id, s) => {
  stray(t, id, s.count);
});
export const lateArmed = cell<'armed'>('closes the hose again: nothing is authorised', [], (t, id, s) => {
  stray(t, id, s.count);
  t.effects.push({ do: 'disarm', hose: id });
});
export const confirmFree = cell<'disarmed'>('takes the count as in pulses', ['blocked'], (t, id, s) => {
  strayWhileFree.run(t, id, { kind: 'pulses', count: s.count });
});
export const armedFree = cell<'armed'>(
  'closes the hose again: nothing is authorised; then as in pulses',
  ['blocked'],
  (t, id, s) => {
    t.effects.push({ do: 'disarm', hose: id });
    strayWhileFree.run(t, id, { kind: 'pulses', count: s.count });
  },
);
export const strayMore = (does: string) =>
  cell<'pulses'>(does, [], (t, id, s) => {
    stray(t, id, s.count);
  });
export const blockMore = (does: string) => cell<'halt'>(does, [], halted);
export const returnBlocked = cell<'returned'>('takes the count; the dispenser is back', ['idle'], (t, id, s) => {
  caughtUp(t, id, s);
  freeIfClear(t, id);
});
export const clearBlocked = cell<'clear'>('takes the block away; free when it was the last', ['idle'], (t, id, s) => {
  resumed(t, id, s);
  freeIfClear(t, id);
});
function freeIfClear(t: Turn, id: string): void {
  if (hoseOf(t, id).blocks.length === 0) setHose(t, id, { name: 'idle' });
}

// The authorisation is on its way into the journal: it is never armed once something came between.
function withdraw(t: Turn, id: string, reason: EndReason, why: string): void {
  setFill(t, id, { reason: fillOf(t, id).reason ?? reason });
  tellFailed(t, id, why);
}
export const withdrawn = <K extends HoseSignalKind>(does: string, reason: EndReason, why: string) =>
  cell<K>(does, [], (t, id) => withdraw(t, id, reason, why));
export const strayUnrecorded = <K extends 'pulses' | 'disarmed'>(does: string) =>
  cell<K>(does, [], (t, id, s) => {
    if (stray(t, id, (s as HoseSignal<'pulses'>).count)) withdraw(t, id, 'doubt', 'stray');
  });
export const returnUnrecorded = cell<'returned'>('takes the count; will not be armed', [], (t, id, s) => {
  caughtUp(t, id, s);
  withdraw(t, id, 'device', 'device');
});
export const haltUnrecorded = cell<'halt'>('blocks the hose; will not be armed', [], (t, id, s) => {
  halted(t, id, s);
  withdraw(t, id, endOf(s.block), s.block);
});

// The dispenser was told to open and has not answered yet.
export const strayUnopened = <K extends 'pulses' | 'disarmed'>(does: string) =>
  cell<K>(does, ['stopping'], (t, id, s) => {
    if (stray(t, id, (s as HoseSignal<'pulses'>).count)) stopFill(t, id, 'doubt');
  });
export const returnUnopened = cell<'returned'>(
  'takes the count and stops: the dispenser was away',
  ['stopping'],
  (t, id, s) => {
    caughtUp(t, id, s);
    tellFailed(t, id, 'device');
    stopFill(t, id, 'device');
  },
);
export const haltUnopened = cell<'halt'>('blocks the hose, stops, tells who holds it', ['stopping'], (t, id, s) => {
  halted(t, id, s);
  tellFailed(t, id, s.block);
  stopFill(t, id, endOf(s.block));
});
export const cardStoppedUnopened = cell<'cardStopped'>('stops; tells who holds it', ['stopping'], (t, id) => {
  tellFailed(t, id, 'card-stopped');
  stopFill(t, id, 'cardStopped');
});
export const neverOpened = cell<'due:arm'>('no word from the dispenser: alarm, stops', ['stopping'], (t, id) => {
  alarm(t, 'noArm', { hose: id });
  tellFailed(t, id, 'device');
  withTimer(t, id, 'arm');
  stopFill(t, id, 'device');
});

// The hose is open.
export const stops = <K extends HoseSignalKind>(does: string, reason: EndReason, timer?: string) =>
  cell<K>(does, ['stopping'], (t, id) => {
    if (timer) withTimer(t, id, timer);
    stopFill(t, id, reason);
  });
export const hungUp = (does: string) =>
  cell<'hung'>(does, ['stopping'], (t, id) => {
    setHose(t, id, { nozzleOut: false });
    stopFill(t, id, 'hung');
  });
export const haltFill = cell<'halt'>(
  'blocks the hose and stops the fill; tells its person',
  ['stopping'],
  (t, id, s) => {
    halted(t, id, s);
    tellTaken(t, id, s.block);
    stopFill(t, id, endOf(s.block));
  },
);
export const cardStopped = cell<'cardStopped'>('stops the fill; tells its person', ['stopping'], (t, id) => {
  tellTaken(t, id, 'card-stopped');
  stopFill(t, id, 'cardStopped');
});
export const cancelFill = cell<'cancel'>('stops the fill when its own person cancels', ['stopping'], (t, id, s) => {
  const { holder } = hoseOf(t, id);
  if (holder?.terminal === s.terminal && holder.session === s.session) stopFill(t, id, 'cancelled');
});
export const noteFailed = cell<'noteFailed'>('stops the fill: the journal does not hold it', ['stopping'], (t, id) => {
  alarm(t, 'journal', { hose: id });
  tellTaken(t, id, 'journal');
  stopFill(t, id, 'journal');
});
export const returnFill = cell<'returned'>(
  'counts what came meanwhile and stops the fill: the dispenser was away',
  ['stopping'],
  (t, id, s) => {
    caughtUpInFill(t, id, s);
    tellTaken(t, id, 'device');
    stopFill(t, id, 'device');
  },
);
export const closedItself = cell<'disarmed'>(
  'the dispenser closed by itself: limit when the count says so, else device',
  ['stopping'],
  (t, id, s) => {
    if (!countIn(t, id, s.count)) return;
    const f = fillOf(t, id);
    stopFill(t, id, f.pulses >= f.stopAtPulses ? 'limit' : 'device');
    closed(t, id);
  },
);

// It was told to close.
function closed(t: Turn, id: string): void {
  setFill(t, id, { closed: true });
  startHoseTimer(t, id, 'settle', HOSE_MS.settle);
}
export const openedLate = cell<'armed'>('the word that it is open came late: closes it again', [], (t, id, s) => {
  if (fillOf(t, id).base === null) setFill(t, id, { base: s.count, armedAt: t.at });
  t.effects.push({ do: 'disarm', hose: id });
});
export const confirmed = cell<'disarmed'>('closed: waits until no pulse comes', [], (t, id, s) => {
  countIn(t, id, s.count);
  stopHoseTimer(t, id, 'disarm');
  closed(t, id);
});
export const runsOn = cell<'pulses'>('counts what runs on, into the fill', [], (t, id, s) => {
  const before = fillOf(t, id).pulses;
  countIn(t, id, s.count);
  if (fillOf(t, id).closed && fillOf(t, id).pulses !== before) startHoseTimer(t, id, 'settle', HOSE_MS.settle);
});
export const returnStopping = cell<'returned'>(
  'counts what came meanwhile; the dispenser is closed',
  [],
  (t, id, s) => {
    caughtUpInFill(t, id, s);
    stopHoseTimer(t, id, 'disarm');
    closed(t, id);
  },
);
export const haltStopping = cell<'halt'>('blocks the hose and closes it once more', [], (t, id, s) => {
  halted(t, id, s);
  t.effects.push({ do: 'disarm', hose: id });
});
export const neverClosed = cell<'due:disarm'>(
  'no word from the dispenser: alarm, blocks unless it is known to be away',
  [],
  (t, id) => {
    alarm(t, 'noDisarm', { hose: id });
    if (!hoseOf(t, id).blocks.includes('device')) addBlock(t, id, 'valve');
    withTimer(t, id, 'disarm');
    t.effects.push({ do: 'disarm', hose: id });
    closed(t, id);
  },
);
