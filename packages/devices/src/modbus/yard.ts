import { mostPulses } from '@fillwright/core/metering';
import type { ArmOrder, YardClock, YardEvent, YardPort } from '../port.ts';
import { type Opener, openStream } from '../stream.ts';
import { type Bus, openBus } from './bus.ts';
import { type HoseRun, judge, loseHose, wantsOn, written } from './hose.ts';
import { coilsOf, inputIs, type Picture, takePicture, type Wants, wantsOf } from './picture.ts';
import { tankWatch } from './tank.ts';
import type { WiredHose, WiredUnit, Wiring } from './wiring.ts';

export interface ModbusYardOptions {
  readonly wiring: Wiring;
  /** The site's hoses in the fleet, with the fastest rate that each can make, pulses per 1,000 s (`pulseRate`). */
  readonly hoses: readonly { readonly id: string; readonly mostPer1000s: number }[];
  readonly tanks: readonly string[];
  readonly clock: YardClock;
  /** The last count of each hose on the record. */
  readonly counts?: Readonly<Record<string, number>>;
  /** How far each count stood from its register, as `keepOffset` was last told. */
  readonly offsets?: Readonly<Record<string, number>>;
  /** Called when that changes, which is seldom: kept over a restart, it tells what flowed while the box was away. */
  readonly keepOffset?: (hose: string, offset: number) => void;
  readonly open?: Opener;
  /** A fault of the program. */
  readonly fault: (error: unknown) => void;
}

interface UnitRun {
  readonly name: string;
  readonly unit: WiredUnit;
  readonly wants: Wants;
  readonly coils: readonly number[];
  up: boolean;
  retryAt: number;
  words: string;
  picture: Picture | undefined;
  /** Of each output: what was written last, and when. */
  readonly outputs: Map<number, { on: boolean; at: number }>;
}

interface LineRun {
  readonly bus: Bus;
  readonly pollMs: number;
  readonly units: readonly UnitRun[];
  readonly hoses: readonly HoseRun[];
  readonly tanks: readonly ReturnType<typeof tankWatch>[];
  callOff: (() => void) | undefined;
  again: boolean;
  turning: Promise<void> | undefined;
}

/** A unit that does not answer is tried again after this. */
const RETRY_MS = 1_000;
/** What a valve takes to shut and a counter to show it, beyond the watchdog: margin for counts that came unseen. Common practice, no source. */
const LAG_MS = 3_000;
/** An emergency stop that was not read for so long is not known. */
const BLIND_MS = 5_000;

/** The longest that an armed hose can run on beyond its stop count, valve lag apart: the watchdog after the last refresh, and what that was judged on. */
export const closesWithinMs = (w: Wiring, h: WiredHose): number => (w.units[h.arm.unit]?.watchdog?.ms ?? 0) * 1.5;

export function modbusYard(options: ModbusYardOptions): YardPort {
  const { wiring, clock, open = openStream } = options;
  let listener: ((event: YardEvent) => void) | undefined;
  let closed = false;
  const power = { eStop: false, mains: true };
  const say = (event: YardEvent) => {
    if (!closed) listener?.(event);
  };

  const lines = Object.entries(wiring.lines).map(([name, line]): LineRun => {
    const units = Object.entries(wiring.units).filter(([, u]) => u.line === name);
    const mine = (unit: string) => units.some(([id]) => id === unit);
    return {
      bus: openBus(line, line.timeoutMs, open),
      pollMs: line.pollMs,
      units: units.map(([id, unit]) => ({
        name: id,
        unit,
        wants: wantsOf(wiring, id),
        coils: coilsOf(wiring, id),
        up: false,
        retryAt: Number.NEGATIVE_INFINITY,
        words: 'the unit has not answered yet',
        picture: undefined,
        outputs: new Map(),
      })),
      hoses: options.hoses.flatMap((h) => {
        const wired = wiring.hoses[h.id];
        return wired && mine(wired.arm.unit) ? [hoseRun(h.id, wired, h.mostPer1000s)] : [];
      }),
      tanks: options.tanks.flatMap((id) => {
        const wired = wiring.tanks[id];
        return wired ? units.map(([unit, u]) => tankWatch(id, wired, unit, u.number)).filter((t) => t.any) : [];
      }),
      callOff: undefined,
      again: false,
      turning: undefined,
    };
  });
  const runs = new Map(lines.flatMap((l) => l.hoses.map((h) => [h.id, { hose: h, line: l }] as const)));
  const units = new Map(lines.flatMap((l) => l.units.map((u) => [u.name, u] as const)));
  const unitOf = (name: string): UnitRun => units.get(name) as UnitRun;

  function hoseRun(id: string, wired: WiredHose, mostPer1000s: number): HoseRun {
    const count = options.counts?.[id];
    return {
      id,
      wired,
      setup: { bits: wired.counter.bits, mostPer1000s },
      openMs: closesWithinMs(wiring, wired) + LAG_MS,
      phase: 'away',
      counting: undefined,
      kept: count === undefined ? undefined : { count, offset: options.offsets?.[id] },
      sentAt: 0,
      order: undefined,
      next: undefined,
      base: 0,
      slow: false,
      lifted: false,
      asked: false,
      told: false,
      backAt: Number.NEGATIVE_INFINITY,
    };
  }

  const unitsOf = ({ wired: w }: HoseRun): UnitRun[] =>
    [...new Set([w.arm, w.fast, w.pump, w.nozzle, w.counter].flatMap((p) => (p ? [p.unit] : [])))].map(unitOf);

  function loseUnit(line: LineRun, unit: UnitRun, error: unknown): void {
    unit.up = false;
    unit.picture = undefined;
    unit.retryAt = clock.monotonic() + RETRY_MS;
    unit.words = error instanceof Error ? error.message : String(error);
    unit.outputs.clear();
    for (const h of line.hoses) if (unitsOf(h).includes(unit)) loseHose(h, unit.words, { now: clock.monotonic(), say });
  }

  /** Watchdog set, every output off; then what the unit says. */
  async function look(line: LineRun, unit: UnitRun): Promise<void> {
    if (!unit.up && clock.monotonic() < unit.retryAt) return;
    const { bus } = line;
    const { number } = unit.unit;
    try {
      if (!unit.up) {
        for (const s of unit.unit.watchdog?.set ?? []) await bus.writeRegister(number, s.address, s.value);
        for (const coil of unit.coils) await put(bus, unit, coil, false);
      }
      unit.picture = await takePicture(bus, number, unit.wants, clock.monotonic);
      unit.up = true;
    } catch (error) {
      loseUnit(line, unit, error);
    }
  }

  async function put(bus: Bus, unit: UnitRun, coil: number, on: boolean): Promise<void> {
    await bus.writeCoil(unit.unit.number, coil, on);
    unit.outputs.set(coil, { on, at: clock.monotonic() });
  }

  /** Tells of the emergency stop and of mains when they change. */
  function watchPower(): void {
    const now = (input: Wiring['eStop'], other: boolean): boolean => {
      const picture = input && unitOf(input.unit).picture;
      return picture && input ? inputIs(picture, input) : other;
    };
    const eStop = now(wiring.eStop, power.eStop);
    const mains = now(wiring.mains, power.mains);
    if (eStop !== power.eStop) {
      power.eStop = eStop;
      say({ kind: 'eStop', on: eStop });
      for (const line of lines) kick(line);
    }
    if (mains !== power.mains) {
      power.mains = mains;
      say({ kind: 'mains', on: mains });
      for (const line of lines) kick(line);
    }
  }

  /** Whether the emergency stop is wired and cannot be read. */
  function blind(): boolean {
    if (!wiring.eStop) return false;
    const { picture } = unitOf(wiring.eStop.unit);
    return picture === undefined || clock.monotonic() - picture.readAt > BLIND_MS;
  }

  function judgeHose(h: HoseRun): void {
    const now = clock.monotonic();
    const lost = unitsOf(h).find((u) => u.picture === undefined);
    if (lost) {
      if (h.phase !== 'away' || h.asked || h.next) loseHose(h, lost.words, { now, say });
    } else if (blind()) {
      if (h.phase !== 'away' || h.asked || h.next || !h.told)
        loseHose(h, 'the emergency stop cannot be read', { now, say });
    } else
      judge(h, {
        now,
        picture: (unit) => unitOf(unit).picture as Picture,
        held: power.eStop ? 'the emergency stop is pressed' : power.mains ? undefined : 'there is no mains',
        say,
        keepOffset: (hose, offset) => options.keepOffset?.(hose, offset),
      });
  }

  /** Writes what has changed, what reads otherwise than it should, and, for the watchdog, what is on. Off goes before on. */
  async function drive(line: LineRun, unit: UnitRun): Promise<void> {
    const { picture } = unit;
    if (!unit.up || !picture) return;
    const ms = unit.unit.watchdog?.ms ?? 0;
    const on = new Set<number>();
    for (const h of line.hoses)
      for (const key of ['pump', 'fast', 'arm'] as const) {
        const output = h.wired[key];
        if (output?.unit === unit.name && wantsOn(h, key)) on.add(output.coil);
      }
    try {
      const off = unit.coils.filter((c) => !on.has(c));
      for (const coil of off)
        if (picture.isOn('coil', coil) || unit.outputs.get(coil)?.on !== false) await put(line.bus, unit, coil, false);
      for (const coil of on) {
        // What was judged on an old picture must not keep a hose open.
        if (clock.monotonic() - picture.sentAt > ms / 2)
          throw new Error('the line is too slow for the unit’s watchdog');
        const last = unit.outputs.get(coil);
        const due = !last?.on || !picture.isOn('coil', coil) || clock.monotonic() - last.at >= ms / 3;
        if (due) await put(line.bus, unit, coil, true);
      }
    } catch (error) {
      loseUnit(line, unit, error);
    }
  }

  async function turn(line: LineRun): Promise<void> {
    for (const unit of line.units) await look(line, unit);
    if (closed) return;
    watchPower();
    for (const h of line.hoses) judgeHose(h);
    for (const unit of line.units) await drive(line, unit);
    for (const h of line.hoses) if (written(h, say)) line.again = true;
    const due = line.tanks.find((t) => t.dueAt <= clock.monotonic());
    if (due && !closed) say(await due.read(line.bus, clock.monotonic));
  }

  function run(line: LineRun): void {
    if (closed || line.turning) return;
    line.callOff?.();
    line.callOff = undefined;
    line.again = false;
    const began = clock.monotonic();
    line.turning = turn(line)
      .catch(options.fault)
      .finally(() => {
        line.turning = undefined;
        if (closed) return;
        const rest = line.again ? 0 : Math.max(1, line.pollMs - (clock.monotonic() - began));
        line.callOff = clock.after(rest, () => run(line));
      });
  }

  /** A turn now, or right after the one that runs. Never within the call that asked for it. */
  function kick(line: LineRun): void {
    line.again = true;
    if (line.turning || closed) return;
    line.callOff?.();
    line.callOff = clock.after(0, () => run(line));
  }

  async function closeUnit(bus: Bus, unit: UnitRun): Promise<void> {
    try {
      for (const coil of unit.coils) await put(bus, unit, coil, false);
    } catch {
      // What does not answer is closed by its watchdog.
    }
  }

  const wired = Object.values(wiring.hoses);
  return {
    can: {
      levels: Object.values(wiring.tanks).some((t) => t.level ?? t.volume),
      temperature: Object.values(wiring.tanks).some((t) => t.temperature),
      eStop: wiring.eStop !== undefined,
      readers: false,
      printers: false,
      nozzleSwitch: wired.length > 0 && wired.every((h) => h.nozzle !== undefined),
      closesAtCount: 'polled',
      closesWithinMs: Math.max(0, ...wired.map((h) => closesWithinMs(wiring, h))),
    },
    start(heard) {
      listener = heard;
      for (const h of options.hoses) if (!runs.has(h.id)) clock.after(0, () => say(unwired(h.id)));
      for (const line of lines) run(line);
    },
    arm(order: ArmOrder) {
      const it = runs.get(order.hose);
      if (!it) {
        clock.after(0, () => say(unwired(order.hose)));
        return;
      }
      it.hose.next = order;
      kick(it.line);
    },
    disarm(hose) {
      const it = runs.get(hose);
      if (!it) {
        clock.after(0, () => say(unwired(hose)));
        return;
      }
      it.hose.next = undefined;
      it.hose.asked = true;
      kick(it.line);
    },
    async close() {
      if (closed) return;
      closed = true;
      await Promise.all(
        lines.map(async (line) => {
          line.callOff?.();
          await line.turning?.catch(() => {});
          for (const unit of line.units) await closeUnit(line.bus, unit);
          line.bus.close();
        }),
      );
    },
  };
}

const unwired = (hose: string): YardEvent => ({ kind: 'fault', hose, words: 'the wiring file has no such hose' });

/** The most pulses that can come between the stop count and the closed valve, the valve's own lag apart, when all goes wrong. */
export const worstOverrun = (w: Wiring, h: WiredHose, mostPer1000s: number): number =>
  mostPulses({ bits: h.counter.bits, mostPer1000s }, Math.ceil(closesWithinMs(w, h)));
