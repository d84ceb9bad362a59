import type { ArmOrder, YardEvent, YardPort } from '@fillwright/devices';
import type { Random, VirtualClock } from '@fillwright/sim';

/**
 * A yard in few steps: it counts in whole seconds, so that a day costs little, and it outlives the box. Its own promises hold whatever the box does: it
 * opens only when armed, and closes by itself at the stop count, with a lag of at most `MOST_LAG` pulses.
 */
export const MOST_LAG = 4;
const TICK_MS = 1_000;
const LEVEL_MS = 30 * 60_000;
const PULSES_A_TICK = 34;

interface Hose {
  readonly id: string;
  /** What the counter shows; begins anew at zero when it loses its memory. */
  count: number;
  /** All that it counted, also before it lost its memory. */
  counted: number;
  open: boolean;
  out: boolean;
  hand: boolean;
  order: { readonly stop: number; readonly slow: number; readonly base: number } | undefined;
  /** Counted since it was last armed, fuel only. */
  drawn: number;
  silent: boolean;
  /** How often its counter lost its memory. */
  resets: number;
}

export interface SimYard {
  readonly hoses: ReadonlyMap<string, Hose>;
  /** What a box plugs into; another may plug in later. `alive` says whether the box still hears and is heard. */
  plug(alive: () => boolean): YardPort;
  people: {
    present(terminal: string, number: string): void;
    key(terminal: string, key: string): void;
    lift(hose: string): void;
    hang(hose: string): void;
    squeeze(hose: string, on: boolean): void;
  };
  eStop(on: boolean): void;
  mains(on: boolean): void;
  silence(hose: string, on: boolean): void;
  /** Interference: the counter moves without fuel. */
  noise(hose: string, pulses: number): void;
  /** The box has no power: relays fall off. `counters`: the counters lose their memory too. */
  powerGone(counters: boolean): void;
  /** Power, buttons and dispensers are as they should be. */
  mend(): void;
}

export interface SimYardOptions {
  readonly clock: VirtualClock;
  readonly random: Random;
  readonly hoses: readonly string[];
  readonly tanks: readonly string[];
  /** A hose was told to open: whoever watches may ask why. */
  readonly armed: (order: ArmOrder) => void;
  /** Fuel has come out. */
  readonly flowed: (hose: string, drawn: number) => void;
}

export function simYard(options: SimYardOptions): SimYard {
  const { clock, random } = options;
  const hoses = new Map<string, Hose>(
    options.hoses.map((id) => [
      id,
      {
        id,
        count: 0,
        counted: 0,
        open: false,
        out: false,
        hand: false,
        order: undefined,
        drawn: 0,
        silent: false,
        resets: 0,
      },
    ]),
  );
  const of = (id: string) => hoses.get(id) as Hose;
  let listener: ((event: YardEvent) => void) | undefined;
  let plugged = 0;
  let power = { eStop: false, mains: true };
  let ticking = false;

  const say = (event: YardEvent) => listener?.(event);
  const later = (ms: number, event: () => YardEvent | undefined) => {
    const mine = plugged;
    clock.after(ms, () => {
      const e = mine === plugged ? event() : undefined;
      if (e) say(e);
    });
  };
  function run(h: Hose, pulses: number): void {
    if (pulses <= 0) return;
    h.count += pulses;
    h.counted += pulses;
    h.drawn += pulses;
    options.flowed(h.id, h.drawn);
  }
  function shut(h: Hose): void {
    if (!h.open) return;
    h.open = false;
    h.order = undefined;
    if (!h.out || !h.hand) return;
    run(h, random.whole(0, MOST_LAG));
    // Whoever listens hears of what ran on.
    later(150, () => (h.silent ? undefined : { kind: 'pulses', hose: h.id, count: h.count }));
  }
  function tick(): void {
    ticking = false;
    let more = false;
    for (const h of hoses.values()) {
      if (!h.open || !h.order) continue;
      if (h.out && h.hand) {
        more = true;
        const since = h.count - h.order.base;
        const flow = since >= h.order.slow ? 6 : PULSES_A_TICK;
        run(h, Math.min(flow, h.order.stop - since));
        if (h.count - h.order.base >= h.order.stop) shut(h);
        if (!h.silent) say({ kind: 'pulses', hose: h.id, count: h.count });
      }
    }
    if (more) wake();
  }
  function wake(): void {
    if (ticking) return;
    ticking = true;
    clock.after(TICK_MS, tick);
  }
  function levels(mine: number): void {
    if (mine !== plugged) return;
    for (const tank of options.tanks) say({ kind: 'level', tank, levelMm: 1200, waterMm: 0, tempC: 11, ul: 2e10 });
    clock.after(LEVEL_MS, () => levels(mine));
  }
  const returned = (h: Hose): YardEvent => ({ kind: 'returned', hose: h.id, count: h.count, lifted: h.out });
  const powered = () => power.mains && !power.eStop;

  return {
    hoses,
    plug(alive) {
      const mine = ++plugged;
      const mineStill = () => mine === plugged && alive();
      return {
        can: {
          levels: true,
          temperature: true,
          eStop: true,
          readers: true,
          printers: false,
          nozzleSwitch: true,
          closesAtCount: 'hardware',
          closesWithinMs: 0,
        },
        start(to) {
          listener = (event) => {
            if (mineStill()) to(event);
          };
          // A yard that a box begins to speak with has every hose closed first.
          for (const h of hoses.values()) {
            shut(h);
            if (!h.silent) later(5, () => returned(h));
          }
          clock.after(5, () => levels(mine));
        },
        arm(order) {
          if (!mineStill()) return;
          const h = of(order.hose);
          options.armed(order);
          later(40, () => {
            if (h.silent || !alive()) return undefined;
            if (!powered()) return { kind: 'fault', hose: h.id, words: 'no power at the dispenser' };
            h.open = true;
            h.order = { stop: order.stopAtPulses, slow: order.slowAtPulses, base: h.count };
            h.drawn = 0;
            if (h.out && h.hand) wake();
            return { kind: 'armed', hose: h.id, count: h.count };
          });
        },
        disarm(id) {
          if (!mineStill()) return;
          const h = of(id);
          shut(h);
          later(60, () => {
            shut(h);
            return h.silent ? undefined : { kind: 'disarmed', hose: id, count: h.count };
          });
        },
        close() {
          if (!mineStill()) return;
          for (const h of hoses.values()) shut(h);
          listener = undefined;
        },
      };
    },
    people: {
      present: (terminal, number) => later(5, () => ({ kind: 'credential', terminal, number })),
      key: (terminal, key) => later(5, () => ({ kind: 'key', terminal, key })),
      lift(id) {
        of(id).out = true;
        if (!of(id).silent) later(5, () => ({ kind: 'lifted', hose: id }));
      },
      hang(id) {
        of(id).hand = false;
        of(id).out = false;
        if (!of(id).silent) later(5, () => ({ kind: 'hung', hose: id }));
      },
      squeeze(id, on) {
        of(id).hand = on;
        if (on && of(id).open) wake();
      },
    },
    eStop(on) {
      power = { ...power, eStop: on };
      if (on) for (const h of hoses.values()) shut(h);
      later(5, () => ({ kind: 'eStop', on }));
    },
    mains(on) {
      power = { ...power, mains: on };
      if (!on) for (const h of hoses.values()) shut(h);
      later(5, () => ({ kind: 'mains', on }));
    },
    silence(id, on) {
      const h = of(id);
      if (on === h.silent) return;
      h.silent = on;
      if (on) {
        shut(h);
        later(5, () => ({ kind: 'fault', hose: id, words: 'the dispenser does not answer' }));
      } else later(5, () => returned(h));
    },
    noise(id, pulses) {
      const h = of(id);
      // A counter has no numbers below zero.
      const moved = Math.max(-h.count, pulses);
      h.count += moved;
      h.counted += moved;
      if (!h.silent) later(5, () => ({ kind: 'pulses', hose: id, count: h.count }));
    },
    mend() {
      if (power.eStop) this.eStop(false);
      if (!power.mains) this.mains(true);
      for (const h of hoses.values()) this.silence(h.id, false);
    },
    powerGone(counters) {
      for (const h of hoses.values()) {
        shut(h);
        if (!counters) continue;
        h.count = 0;
        h.resets++;
      }
      listener = undefined;
      plugged++;
    },
  };
}
