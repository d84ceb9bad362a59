import type { Fleet } from '@fillwright/core/fleet';
import { unitOf } from '@fillwright/core/fleet';
import type { PulserKind } from '@fillwright/core/metering';
import { NANOLITRES_PER_GALLON } from '@fillwright/core/units';
import type { ArmOrder, YardEvent, YardPort } from '@fillwright/devices';
import type { Clock } from './clock.ts';
import { type HosePhysics, type HoseShape, hosePhysics, pass, shut } from './hose.ts';
import { type PulserFault, type SimulatedPulser, simulatedPulser } from './pulser.ts';
import { type Random, randomFrom } from './random.ts';
import { levelOf, type TankPhysics, type TankShape, tempAt } from './tank.ts';

export interface YardShape {
  readonly hoses: readonly HoseShape[];
  readonly tanks: readonly (TankShape & { readonly startUl: number })[];
  readonly terminals: readonly string[];
}

/** What a simulated tank holds when it is first filled, in microlitres: a little over half. */
export const openingStock = (capacity: number): number => Math.floor(capacity * 0.55);

/** A yard as a released fleet declares it, with meters in true and tanks half full. */
export function yardShapeOf(fleet: Fleet, site: string): YardShape {
  const ulPerUnit = unitOf(fleet.settings) === 'gal' ? Number(NANOLITRES_PER_GALLON) / 1000 : 1_000_000;
  const here = <T extends { site: string }>(rows: ReadonlyMap<string, T>) =>
    [...rows.values()].filter((r) => r.site === site);
  return {
    hoses: here(fleet.hoses).map((h) => ({
      id: h.id,
      tanks: fleet.pumps.get(h.pump)?.tanks ?? [],
      flowUlPerMin: h.flow,
      pulsesPerUl: h.pulses / 1000 / ulPerUnit,
      lagMs: 180,
      lagDeviationMs: 25,
      lowShare: 0.2,
      // One channel is counted whole, which is much quicker; two are decoded edge by edge.
      ...(h.pulser === 'two' ? { pulser: 'two' as const } : {}),
    })),
    tanks: here(fleet.tanks).map((t) => ({
      id: t.id,
      capacityUl: t.capacity,
      diameterMm: 2_400,
      startUl: openingStock(t.capacity),
    })),
    terminals: here(fleet.terminals).map((t) => t.id),
  };
}

export interface YardPicture {
  readonly hoses: Readonly<
    Record<string, { open: boolean; out: boolean; flowUlPerMin: number; count: number; deliveredUl: number }>
  >;
  readonly tanks: Readonly<Record<string, { ul: number; levelMm: number; tempC: number }>>;
  readonly eStop: boolean;
  readonly mains: boolean;
}

/** A yard in a computer: serves the port, and has hands for people, deliveries and mishaps. */
export interface SimulatedYard extends YardPort {
  present(terminal: string, number: string): void;
  key(terminal: string, key: string): void;
  lift(hose: string): void;
  hang(hose: string): void;
  /** Opens the nozzle by hand: 0 shut to 1 full. */
  squeeze(hose: string, share: number): void;
  eStop(on: boolean): void;
  mains(on: boolean): void;
  deliver(tank: string, ul: number): void;
  /** Lets the tank hold so much at once; without a figure, what it held when it was first filled. */
  stand(tank: string, ul?: number): void;
  water(tank: string, mm: number): void;
  loseProbe(tank: string, lost: boolean): void;
  /** The dispenser falls silent and shuts, or comes back. */
  silence(hose: string, silent: boolean): void;
  /** The valve lets through so much though shut, uL a minute; 0 mends it. */
  leak(hose: string, ulPerMin: number): void;
  /** What ails the hose's pulser from now on; a hose without one of its own gets a single contact. */
  pulser(hose: string, fault: PulserFault): void;
  /** Moves the counter as interference would. */
  bump(hose: string, pulses: number): void;
  look(): YardPicture;
}

const TICK_MS = 50;
const REPORT_MS = 200;
const LEVEL_MS = 30_000;

export interface YardOptions {
  readonly clock: Clock;
  readonly seed: string | number;
  /** First counts, as after a restart. */
  readonly counts?: Readonly<Record<string, number>>;
  readonly volumes?: Readonly<Record<string, number>>;
  /** Of the fuel in each tank, °C. */
  readonly temps?: Readonly<Record<string, number>>;
  readonly onPrint?: (terminal: string, lines: readonly string[]) => void;
}

export function simulatedYard(shape: YardShape, options: YardOptions): SimulatedYard {
  const { clock } = options;
  const random: Random = randomFrom(`yard/${options.seed}`);
  const hoses = new Map(shape.hoses.map((h) => [h.id, hosePhysics(h, options.counts?.[h.id] ?? 0)]));
  const tanks = new Map<string, TankPhysics>(
    shape.tanks.map((t) => {
      const chance = random.between(9, 14);
      const [ul, tempC] = [options.volumes?.[t.id] ?? t.startUl, options.temps?.[t.id] ?? chance];
      return [t.id, { shape: t, ul, waterMm: 0, tempC, lost: false }];
    }),
  );
  const pulsers = new Map<string, SimulatedPulser>();
  /** What interference has added to a count, beside what a pulser counted. */
  const bumped = new Map<string, number>();
  for (const [id, h] of hoses) if (h.shape.pulser) openPulser(id, h, h.shape.pulser);
  function openPulser(id: string, h: HosePhysics, kind: PulserKind): SimulatedPulser {
    const most = Math.ceil((h.shape.flowUlPerMin * h.shape.pulsesPerUl * 1_000) / 60);
    const opened = simulatedPulser(kind, most, h.count, random.part(`pulser/${id}`));
    pulsers.set(id, opened);
    return opened;
  }
  const countOf = (id: string, h: HosePhysics): number => (pulsers.get(id)?.count ?? h.count) + (bumped.get(id) ?? 0);
  const orders = new Map<string, { order: ArmOrder; base: number }>();
  const told = new Map<string, number>();
  const silent = new Set<string>();
  let listener: ((e: YardEvent) => void) | undefined;
  let power = { eStop: false, mains: true };
  let ticking: (() => void) | null = null;
  let lastTick = 0;
  let lastReport = 0;
  let closed = false;
  const cancels = new Set<() => void>();

  const later = (ms: number, deed: () => void) => {
    const cancel = clock.after(ms, () => {
      cancels.delete(cancel);
      if (!closed) deed();
    });
    cancels.add(cancel);
    return cancel;
  };
  const say = (e: YardEvent) => listener?.(e);
  /** Events never come inside a call of the port. */
  const sayLater = (e: YardEvent, ms = 5) => void later(ms, () => say(e));
  const hose = (id: string): HosePhysics => {
    const h = hoses.get(id);
    if (!h) throw new RangeError(`the yard has no hose ${id}`);
    return h;
  };
  const tank = (id: string): TankPhysics => {
    const t = tanks.get(id);
    if (!t) throw new RangeError(`the yard has no tank ${id}`);
    return t;
  };
  const powered = () => power.mains && !power.eStop;

  /** `at`: when the count was so; by the time that it is told, the listener may have been busy with another hose. */
  function report(id: string, h: HosePhysics, at: number): void {
    const count = countOf(id, h);
    if (silent.has(id) || told.get(id) === count) return;
    told.set(id, count);
    const ageMs = clock.now() - at;
    say({ kind: 'pulses', hose: id, count, ...(ageMs > 0 ? { ageMs } : {}) });
  }
  const busy = () =>
    [...hoses.values()].some((h) => h.open || h.flow > 0 || (h.leak > 0 && h.out) || clock.now() < h.shutsAt);

  /** After a stall of the computer the yard catches up in its own small steps: a dispenser shuts at its preset whoever is busy. */
  function tick(): void {
    const now = clock.now();
    for (let at = lastTick; at < now; ) {
      const ms = Math.min(TICK_MS, now - at);
      at += ms;
      flow(at, ms);
    }
    lastTick = now;
    ticking = null;
    if (now - lastReport >= REPORT_MS || !busy()) {
      lastReport = now;
      for (const [id, h] of hoses) report(id, h, now);
    }
    wake();
  }
  function flow(now: number, ms: number): void {
    for (const [id, h] of hoses) {
      const full = h.shape.tanks.map(tank).filter((t) => t.ul > 0);
      const ul = pass(h, now, ms, powered() && full.length > 0);
      const doubt = pulsers.get(id)?.turn(h.count + h.fraction, now);
      if (doubt !== undefined && !silent.has(id)) sayLater({ kind: 'pulserDoubt', hose: id, words: doubt });
      // Tanks on one line give by what they hold.
      const all = full.reduce((sum, t) => sum + t.ul, 0);
      for (const t of full) t.ul = Math.max(0, t.ul - (ul * t.ul) / all);
      const armed = orders.get(id);
      if (!armed) continue;
      const since = countOf(id, h) - armed.base;
      if (since >= armed.order.slowAtPulses) h.low = true;
      if (since >= armed.order.stopAtPulses && h.open) {
        shut(h, now, random);
        orders.delete(id);
        report(id, h, now);
      }
    }
  }
  function wake(): void {
    if (ticking || closed || !busy()) return;
    ticking = later(TICK_MS, tick);
  }
  const stir = () => {
    if (!ticking) lastTick = clock.now();
    wake();
  };

  function levels(): void {
    for (const [id, t] of tanks) tellLevel(id, t);
    later(LEVEL_MS, levels);
  }
  function tellLevel(id: string, t: TankPhysics): void {
    if (t.lost) say({ kind: 'probeLost', tank: id });
    else
      say({
        kind: 'level',
        tank: id,
        levelMm: Math.round(levelOf(t.shape, t.ul) * 10) / 10,
        waterMm: t.waterMm,
        tempC: Math.round(tempAt(t, clock.now()) * 100) / 100,
        ul: Math.floor(t.ul),
      });
  }
  const shutAll = () => {
    for (const h of hoses.values()) shut(h, clock.now(), random);
    orders.clear();
  };
  const returned = (id: string): YardEvent => ({
    kind: 'returned',
    hose: id,
    count: countOf(id, hose(id)),
    lifted: hose(id).out,
  });

  return {
    can: {
      levels: true,
      temperature: true,
      eStop: true,
      readers: true,
      printers: true,
      nozzleSwitch: true,
      closesAtCount: 'hardware',
      closesWithinMs: 0,
    },
    start(to) {
      listener = to;
      for (const id of hoses.keys()) {
        told.set(id, countOf(id, hose(id)));
        sayLater(returned(id));
      }
      later(5, levels);
    },
    arm(order) {
      const h = hose(order.hose);
      later(40, () => {
        if (silent.has(order.hose)) return;
        if (!powered()) {
          say({ kind: 'fault', hose: order.hose, words: 'no power at the dispenser' });
          return;
        }
        h.open = true;
        h.low = order.slowAtPulses === 0;
        const count = countOf(order.hose, h);
        orders.set(order.hose, { order, base: count });
        told.set(order.hose, count);
        say({ kind: 'armed', hose: order.hose, count });
        stir();
      });
    },
    disarm(id) {
      const h = hose(id);
      shut(h, clock.now(), random);
      orders.delete(id);
      stir();
      later(60, () => {
        if (silent.has(id)) return;
        orders.delete(id);
        if (h.open) shut(h, clock.now(), random);
        const count = countOf(id, h);
        told.set(id, count);
        say({ kind: 'disarmed', hose: id, count });
      });
    },
    print: (terminal, lines) => options.onPrint?.(terminal, lines),
    close() {
      shutAll();
      closed = true;
      for (const cancel of cancels) cancel();
      cancels.clear();
    },
    present: (terminal, number) => sayLater({ kind: 'credential', terminal, number }),
    key: (terminal, key) => sayLater({ kind: 'key', terminal, key }),
    lift(id) {
      hose(id).out = true;
      stir();
      if (!silent.has(id)) sayLater({ kind: 'lifted', hose: id });
    },
    hang(id) {
      hose(id).out = false;
      hose(id).hand = 0;
      if (!silent.has(id)) sayLater({ kind: 'hung', hose: id });
    },
    squeeze(id, share) {
      hose(id).hand = Math.min(1, Math.max(0, share));
      stir();
    },
    eStop(on) {
      power = { ...power, eStop: on };
      if (on) shutAll();
      sayLater({ kind: 'eStop', on });
    },
    mains(on) {
      power = { ...power, mains: on };
      if (!on) shutAll();
      sayLater({ kind: 'mains', on });
    },
    deliver(id, ul) {
      const t = tank(id);
      t.ul = Math.min(t.shape.capacityUl, t.ul + ul);
      tellLevel(id, t);
    },
    stand(id, ul) {
      const t = tank(id);
      t.ul = ul ?? openingStock(t.shape.capacityUl);
      tellLevel(id, t);
    },
    water(id, mm) {
      tank(id).waterMm = mm;
      tellLevel(id, tank(id));
    },
    loseProbe(id, lost) {
      tank(id).lost = lost;
      tellLevel(id, tank(id));
    },
    silence(id, on) {
      if (on) {
        silent.add(id);
        shut(hose(id), clock.now(), random);
        orders.delete(id);
        sayLater({ kind: 'fault', hose: id, words: 'the dispenser does not answer' });
      } else if (silent.delete(id)) {
        told.set(id, countOf(id, hose(id)));
        sayLater(returned(id));
      }
    },
    leak(id, ulPerMin) {
      hose(id).leak = ulPerMin;
      stir();
    },
    pulser(id, fault) {
      const of = pulsers.get(id) ?? openPulser(id, hose(id), 'single');
      of.fault = fault;
    },
    bump(id, pulses) {
      const h = hose(id);
      bumped.set(id, (bumped.get(id) ?? 0) + pulses);
      later(5, () => report(id, h, clock.now()));
    },
    look: () => ({
      hoses: Object.fromEntries(
        [...hoses].map(([id, h]) => [
          id,
          { open: h.open, out: h.out, flowUlPerMin: h.flow, count: countOf(id, h), deliveredUl: h.delivered },
        ]),
      ),
      tanks: Object.fromEntries(
        [...tanks].map(([id, t]) => [id, { ul: t.ul, levelMm: levelOf(t.shape, t.ul), tempC: t.tempC }]),
      ),
      ...power,
    }),
  };
}
