import { closeOrder, KEPT_LAGS, learnLag } from '../metering/lag.ts';
import { amountOf, pulsesWithin, volumeOfPulses } from '../units/index.ts';
import { BLOCKS } from './blocks.ts';
import { CURVE_POINTS, type EndReason, type EntryOf } from './entries.ts';
import { flowIn } from './plan.ts';
import { journalLevel } from './tanks.ts';
import {
  alarm,
  hoseOf,
  hosePlan,
  journal,
  setHose,
  startHoseTimer,
  stopHoseTimer,
  stopHoseTimers,
  type Turn,
  tellSession,
  tellTerminal,
} from './turn.ts';
import type { Block, Fill, Grant, HosePlan, ReceiptFacts } from './types.ts';

/** Milliseconds; common practice without a source where nothing else is said. */
export const HOSE_MS = {
  /** A decision must come within it, else the hose is free again. */
  claim: 15_000,
  record: 5_000,
  arm: 5_000,
  disarm: 3_000,
  /** No pulse for so long after closing: the fill is over. */
  settle: 1_500,
  retry: 2_000,
  /** Alarms about stray pulses are at least so far apart. */
  stray: 1_000,
  checkpoint: 1_000,
  /** A display is told of the flow at most so often. */
  told: 500,
} as const;
const CHECKPOINT_UL = 500_000;
const pulsesIn = (plan: HosePlan, unit: Fill['unit'], ms: number) =>
  pulsesWithin(flowIn(plan, ms), plan.pulsesPerMeasure, unit);

/** The most pulses that can come in `ms`: half as much again as the rated flow, a second and two pulses of grace. */
export const mostPulsesIn = (plan: HosePlan, unit: Fill['unit'], ms: number): number =>
  pulsesIn(plan, unit, Math.ceil(1.5 * (Math.max(0, ms) + 1_000))) + 2;

/** Opens the record of a fill; false when the limit is so small that what runs on after closing would pass it. */
export function beginFill(t: Turn, id: string, grant: Grant): boolean {
  const plan = hosePlan(t, id);
  const { unit } = t.plan;
  const d = grant.decision;
  const limitPulses = pulsesWithin(d.limit, plan.pulsesPerMeasure, unit);
  const lag = learnLag(plan, unit, hoseOf(t, id).lags);
  if (limitPulses <= lag.ahead) return false;
  const { stopAtPulses, slowAtPulses } = closeOrder(plan, unit, limitPulses, lag);
  const n = t.next++;
  const fill: Fill = {
    n,
    grant,
    id: null,
    limitPulses,
    stopAtPulses,
    slowAtPulses,
    unit,
    pulsesPerMeasure: plan.pulsesPerMeasure,
    base: null,
    armedAt: null,
    firstPulseAt: null,
    pulses: 0,
    toldAt: 0,
    noted: { pulses: 0, at: t.at },
    curve: [],
    timers: [],
    reason: null,
    closed: false,
    end: null,
  };
  setHose(t, id, { fill, name: 'recording' });
  journal(
    t,
    {
      kind: 'authorised',
      at: t.at,
      terminal: grant.terminal,
      hose: id,
      credentials: [...grant.credentials],
      ...(d.driver === undefined ? {} : { driver: d.driver }),
      ...(d.vehicle === undefined ? {} : { vehicle: d.vehicle }),
      product: d.product,
      tanks: [...plan.tanks],
      limitUl: d.limit,
      by: d.rule,
      steps: [...d.steps],
      notes: [...d.notes],
      charged: [...d.charged],
      answers: grant.answers,
      price: d.price,
      unit,
      pulsesPerMeasure: plan.pulsesPerMeasure,
      limitPulses,
      stopAtPulses,
      lag: { ahead: lag.ahead, typical: lag.typical, spread: lag.spread, of: lag.of },
      cutOff: d.cutOff,
      revision: t.plan.revision,
    },
    tagOf(id, 'auth', n),
  );
  return true;
}

export const tagOf = (hose: string, what: 'auth' | 'note' | 'end', n: number): string => `hose|${hose}|${what}|${n}`;

export const fillOf = (t: Turn, id: string): Fill => hoseOf(t, id).fill as Fill;
export const setFill = (t: Turn, id: string, change: Partial<Fill>): void =>
  setHose(t, id, { fill: { ...fillOf(t, id), ...change } });

export const ulOf = (f: Fill) => volumeOfPulses(f.pulses, f.pulsesPerMeasure, f.unit);

export function checkpoint(t: Turn, id: string, step: EntryOf<'checkpoint'>['step']): void {
  const f = fillOf(t, id);
  if (f.id === null) return;
  tellPending(t, id);
  const entry = { kind: 'checkpoint', at: t.at, fill: f.id, hose: id, step, pulses: f.pulses, ul: ulOf(f) } as const;
  journal(t, { ...entry, count: hoseOf(t, id).count ?? 0 }, tagOf(id, 'note', f.n));
  setFill(t, id, { noted: { pulses: f.pulses, at: t.at } });
}

export function readTanks(t: Turn, id: string, when: 'fillStart' | 'fillEnd'): void {
  const fill = fillOf(t, id).id;
  for (const tank of hosePlan(t, id).tanks) journalLevel(t, tank, when, fill);
}

function curveWith(f: Fill, at: number): Fill['curve'] {
  // A clock that is set back during a fill must not make a time below zero.
  const ms = Math.max(0, at - (f.armedAt ?? at));
  const [first, second] = f.curve;
  const gap = first && second ? Math.max(250, second[0] - first[0]) : 250;
  const last = f.curve.at(-1);
  if (last && ms - last[0] < gap) return f.curve;
  const curve = [...f.curve, [ms, f.pulses] as const];
  return curve.length < CURVE_POINTS ? curve : curve.filter((_, i) => i % 2 === 0);
}

/** Counts pulses into the running fill. In doubt nothing is counted: an alarm tells of it and the fill is ended. True when it goes on. */
export function countIn(t: Turn, id: string, count: number): boolean {
  const h = hoseOf(t, id);
  const f = fillOf(t, id);
  const delta = count - (h.count ?? count);
  const most = mostPulsesIn(hosePlan(t, id), f.unit, t.at - h.countAt);
  setHose(t, id, { count, countAt: t.at });
  if (delta < 0 || delta > most) {
    tellPending(t, id);
    alarm(t, delta < 0 ? 'reversal' : 'jump', {
      hose: id,
      pulses: delta,
      count,
      ...(f.id === null ? {} : { fill: f.id }),
    });
    addBlock(t, id, 'doubt');
    stopFill(t, id, 'doubt');
    return false;
  }
  const pulses = f.pulses + delta;
  const firstPulseAt = f.firstPulseAt ?? (delta > 0 ? t.at : null);
  setFill(t, id, { pulses, firstPulseAt, curve: curveWith({ ...f, pulses }, t.at) });
  return true;
}

/** A checkpoint at the first count that is 0.5 l or 1 s past the last. */
export function noteIfDue(t: Turn, id: string): void {
  const f = fillOf(t, id);
  const ul = volumeOfPulses(f.pulses - f.noted.pulses, f.pulsesPerMeasure, f.unit);
  if (f.pulses > f.noted.pulses && (ul >= CHECKPOINT_UL || t.at - f.noted.at >= HOSE_MS.checkpoint))
    checkpoint(t, id, 'flowing');
}

export const addBlock = (t: Turn, id: string, block: Block): void => {
  const { blocks } = hoseOf(t, id);
  if (!blocks.includes(block)) setHose(t, id, { blocks: [...blocks, block] });
};

/** Closes the hose and waits for the dispenser's word and for the last pulses. The first reason stays. */
export function stopFill(t: Turn, id: string, reason: EndReason): void {
  const h = hoseOf(t, id);
  t.effects.push({ do: 'disarm', hose: id });
  if (h.name === 'stopping' || h.name === 'closing') return;
  tellPending(t, id);
  stopHoseTimers(t, id);
  setFill(t, id, { reason: fillOf(t, id).reason ?? reason });
  setHose(t, id, { name: 'stopping' });
  startHoseTimer(t, id, 'disarm', HOSE_MS.disarm);
  if (fillOf(t, id).base !== null) checkpoint(t, id, 'stopping');
}

/** Writes the end of the fill; the hose is free once that is durable. */
export function closeFill(t: Turn, id: string): void {
  const h = hoseOf(t, id);
  const f = fillOf(t, id);
  tellPending(t, id);
  stopHoseTimers(t, id);
  if (f.id === null) return;
  const ul = ulOf(f);
  const { price, limit } = f.grant.decision;
  const over = Math.max(0, f.pulses - f.limitPulses);
  const lag = f.reason === 'limit' ? f.pulses - f.stopAtPulses : null;
  const last = [Math.max(0, t.at - (f.armedAt ?? t.at)), f.pulses] as const;
  const end: EntryOf<'ended'> = {
    kind: 'ended',
    at: t.at,
    fill: f.id,
    hose: id,
    reason: f.reason ?? 'doubt',
    pulses: f.pulses,
    ul,
    amount: price === null ? null : amountOf(ul, price, f.unit),
    overPulses: over,
    overUl: over === 0 ? 0 : Math.max(0, ul - limit),
    armedAt: f.armedAt,
    firstPulseAt: f.firstPulseAt,
    timers: [...f.timers],
    curve: [...f.curve.slice(0, CURVE_POINTS - 1), last].map(([ms, pulses]) => [ms, pulses]),
    lagPulses: lag,
    count: h.count,
  };
  const lags = lag === null ? h.lags : [...h.lags, Math.max(0, lag)].slice(-KEPT_LAGS);
  if (f.base !== null) readTanks(t, id, 'fillEnd');
  setHose(t, id, { name: 'closing', lags, closedAt: t.at });
  setFill(t, id, { end });
  journal(t, end, tagOf(id, 'end', f.n));
}

/** The end is durable: the hose is free, or blocked when something holds it. */
export function freeHose(t: Turn, id: string): void {
  for (const name of Object.keys(hoseOf(t, id).timers)) if (name !== 'stray') stopHoseTimer(t, id, name);
  setHose(t, id, { name: hoseOf(t, id).blocks.length > 0 ? 'blocked' : 'idle', fill: null, holder: null });
}

export function receiptOf(t: Turn, id: string): ReceiptFacts | null {
  const f = fillOf(t, id);
  if (!f.end || f.end.pulses === 0) return null;
  const plan = hosePlan(t, id);
  const { driver, vehicle, price } = f.grant.decision;
  return {
    fill: f.end.fill,
    at: f.end.at,
    hose: plan.number,
    productName: plan.productName,
    ul: f.end.ul,
    unit: f.unit,
    price,
    amount: f.end.amount,
    currency: t.plan.currency,
    ...(driver === undefined ? {} : { driver }),
    ...(vehicle === undefined ? {} : { vehicle }),
    answers: f.grant.answers,
    reason: f.end.reason,
  };
}

/** The terminal that handed the hose over shows how far the fill is; a clock that was set back does not silence it. */
export function tellFlow(t: Turn, id: string): void {
  const f = fillOf(t, id);
  if (t.at >= f.toldAt && t.at - f.toldAt < HOSE_MS.told) return;
  setFill(t, id, { toldAt: t.at });
  tellTerminal(t, f.grant.terminal, { kind: 'flow', hose: id });
}

/** Tells whoever holds the hose that it will not be theirs. */
export function tellFailed(t: Turn, id: string, why: string): void {
  const { holder } = hoseOf(t, id);
  if (holder) tellSession(t, holder.terminal, holder.session, { kind: 'handFailed', why, hose: id });
}

/** Tells whoever was handed the hose that it stops, if they still stand at the terminal. */
export function tellTaken(t: Turn, id: string, why: string): void {
  const { holder } = hoseOf(t, id);
  if (holder) tellSession(t, holder.terminal, holder.session, { kind: 'taken', why, hose: id });
}

/** Pulses that nobody was authorised for: an alarm at once, then at most one a second with the sum, and the hose is blocked. */
export function stray(t: Turn, id: string, count: number): boolean {
  const h = hoseOf(t, id);
  if (h.count === null || count === h.count) {
    setHose(t, id, { count, countAt: t.at });
    return false;
  }
  const delta = count - h.count;
  setHose(t, id, { count, countAt: t.at, stray: h.stray + delta });
  t.effects.push({ do: 'disarm', hose: id });
  addBlock(t, id, 'stray');
  if (!h.timers.stray) tellStray(t, id);
  return true;
}

const AFTER_CLOSE_MS = 60_000;

/** Before anything with the hose's count goes on the record: what moved it and is not told yet would be lost with the power. */
export function tellPending(t: Turn, id: string): void {
  if (hoseOf(t, id).stray !== 0) tellStray(t, id);
}

export function tellStray(t: Turn, id: string): void {
  const h = hoseOf(t, id);
  if (h.stray === 0) {
    stopHoseTimer(t, id, 'stray');
    return;
  }
  const after = h.closedAt > 0 && t.at - h.closedAt < AFTER_CLOSE_MS;
  const code = h.stray < 0 ? 'reversal' : after ? 'pulsesAfterClose' : 'strayPulses';
  alarm(t, code, { hose: id, pulses: h.stray, ...(h.count === null ? {} : { count: h.count }) });
  setHose(t, id, { stray: 0 });
  startHoseTimer(t, id, 'stray', HOSE_MS.stray);
}

export const endOf = (block: Block): EndReason => BLOCKS[block].ends;
