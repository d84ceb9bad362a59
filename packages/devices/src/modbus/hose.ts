import type { CounterSetup } from '@fillwright/core/metering';
import type { ArmOrder, YardEvent } from '../port.ts';
import { type Counting, goOn, offsetOf, resume } from './counting.ts';
import { counterOf, inputIs, type Picture } from './picture.ts';
import type { WiredHose } from './wiring.ts';

/**
 * Where a hose stands. `away`: not to be believed, closed as far as anybody can. `arming`, `closing`: the outputs were not written yet.
 * `closed`: they were, and the count at that moment is still to be read.
 */
export type Phase = 'away' | 'shut' | 'arming' | 'open' | 'closing' | 'closed';

export interface HoseRun {
  readonly id: string;
  readonly wired: WiredHose;
  readonly setup: CounterSetup;
  /** For how long the hose can flow unseen: until its watchdog has closed it. */
  readonly openMs: number;
  phase: Phase;
  counting: Counting | undefined;
  /** Before the box started: the count on the record, and how far it stood from the register. */
  readonly kept: { readonly count: number; readonly offset: number | undefined } | undefined;
  sentAt: number;
  order: ArmOrder | undefined;
  next: ArmOrder | undefined;
  base: number;
  slow: boolean;
  lifted: boolean;
  /** A disarm that was not answered yet. */
  asked: boolean;
  /** Whether 'fault' was said since it was last well. */
  told: boolean;
  /** Not before this moment does it come back. */
  backAt: number;
}

export interface HoseWorld {
  readonly now: number;
  /** Of the hose's units, by their name. */
  picture(unit: string): Picture;
  /** Why nothing may be armed now, where so. */
  readonly held: string | undefined;
  say(event: YardEvent): void;
  keepOffset(hose: string, offset: number): void;
}

/** After a doubt the hose stays away for this long, and until it reads as closed. */
const QUIET_MS = 2_000;

/** Gives a hose up until it is well again: nothing is asked of it but to be closed. */
export function loseHose(h: HoseRun, words: string, w: Pick<HoseWorld, 'now' | 'say'>): void {
  const unanswered = h.asked || h.order !== undefined || h.next !== undefined;
  const well = h.phase !== 'away';
  Object.assign(h, { phase: 'away', order: undefined, next: undefined, asked: false, slow: false });
  h.backAt = w.now + QUIET_MS;
  if (well || unanswered || !h.told) w.say({ kind: 'fault', hose: h.id, words: words.slice(0, 200) });
  h.told = true;
}

/** One turn of one hose, on what its units have just said. */
export function judge(h: HoseRun, w: HoseWorld): void {
  const { wired, id } = h;
  const counter = w.picture(wired.counter.unit);
  const raw = counterOf(counter, wired.counter);
  const armed = w.picture(wired.arm.unit).isOn('coil', wired.arm.coil);
  const elapsed = Math.max(0, Math.ceil(counter.readAt - h.sentAt));
  h.sentAt = counter.sentAt;
  const lifted = wired.nozzle ? inputIs(w.picture(wired.nozzle.unit), wired.nozzle) : false;

  if (h.phase === 'away') {
    if (h.asked || h.next) loseHose(h, 'the hose is not well yet', w);
    else comeBack(h, raw, armed, lifted, w);
    return;
  }
  const before = h.counting as Counting;
  const { counting, doubt } = goOn(before, raw, elapsed);
  if (doubt !== undefined) {
    // The last count that was believed stands: when the hose is back, what can have flowed since is counted from there.
    loseHose(h, `the counter ${doubt}: ${before.raw}, then ${raw} after ${elapsed} ms`, w);
    return;
  }
  h.counting = counting;
  if (counting.count > before.count)
    w.say({ kind: 'pulses', hose: id, count: counting.count, ageMs: Math.max(0, w.now - counter.readAt) });
  if (h.lifted !== lifted) {
    h.lifted = lifted;
    w.say({ kind: lifted ? 'lifted' : 'hung', hose: id });
  }
  if (h.phase === 'open' && !armed) loseHose(h, 'the unit closed the hose by itself', w);
  else if (h.phase === 'shut' && armed) loseHose(h, 'the output that opens the hose is on and nobody asked for it', w);
  else follow(h, counting.count, w);
}

/** Orders, the stop count and the answers. */
function follow(h: HoseRun, count: number, w: HoseWorld): void {
  if (h.phase === 'closed') h.phase = 'shut';
  if (h.phase === 'open' && h.order) {
    const since = count - h.base;
    h.slow = since >= h.order.slowAtPulses;
    if (since >= h.order.stopAtPulses || h.next) close(h);
  }
  if (h.asked || w.held !== undefined) {
    if (h.phase === 'open' || h.phase === 'arming') close(h);
    if (h.phase === 'shut' && h.asked) {
      h.asked = false;
      w.say({ kind: 'disarmed', hose: h.id, count });
    }
  }
  if (!h.next || h.phase !== 'shut') return;
  if (w.held !== undefined) {
    h.next = undefined;
    w.say({ kind: 'fault', hose: h.id, words: w.held });
    // The core blocks a hose that reports a fault until it is back.
    h.phase = 'away';
    h.told = true;
    h.backAt = w.now;
    return;
  }
  Object.assign(h, { phase: 'arming', order: h.next, next: undefined, base: count, slow: h.next.slowAtPulses === 0 });
}

function close(h: HoseRun): void {
  h.phase = 'closing';
  h.order = undefined;
}

function comeBack(h: HoseRun, raw: number, armed: boolean, lifted: boolean, w: HoseWorld): void {
  if (armed || w.now < h.backAt) return;
  const last = h.counting ? { count: h.counting.count, offset: offsetOf(h.counting) } : h.kept;
  const { counting, unexplained } = resume(h.setup, raw, last, h.openMs);
  h.counting = counting;
  w.keepOffset(h.id, offsetOf(counting));
  if (unexplained !== undefined)
    w.say({
      kind: 'fault',
      hose: h.id,
      words: `the counter stands ${unexplained} pulses from where it must; they are not counted`,
    });
  Object.assign(h, { phase: 'shut', lifted, told: false });
  w.say({ kind: 'returned', hose: h.id, count: counting.count, lifted });
}

/** Whether an output of the hose is to be on. */
export const wantsOn = (h: HoseRun, output: 'arm' | 'fast' | 'pump'): boolean =>
  (h.phase === 'arming' || h.phase === 'open') && (output !== 'fast' || !h.slow);

/** After the outputs were written: the orders have become deeds. True when the count must be read at once. */
export function written(h: HoseRun, say: (event: YardEvent) => void): boolean {
  if (h.phase === 'arming') {
    h.phase = 'open';
    say({ kind: 'armed', hose: h.id, count: h.base });
  } else if (h.phase === 'closing') {
    h.phase = 'closed';
    return true;
  }
  return false;
}
