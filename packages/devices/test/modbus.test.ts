import { pulseRate } from '@fillwright/core/metering';
import { afterAll, describe, expect, it } from 'vitest';
import type { ModbusYardOptions } from '../src/index.ts';
import {
  modbusYard,
  probe,
  readWiring,
  type Wiring,
  YARD_PROMISES,
  type YardEvent,
  type YardPort,
} from '../src/index.ts';
import { type Opener, openStream } from '../src/stream.ts';
import type { UnitSetup } from './io-unit.ts';
import { type BadLine, badLine, type Mischief } from './proxy.ts';
import { fastClock as clock, PACE, pass, type Unit, unitProcess, until } from './unit-process.ts';

const WATCHDOG_MS = 6_000;
const units = unitProcess();
afterAll(() => units.end());

function wiringOf(over: 'tcp' | 'serial', port: number, setup: Pick<UnitSetup, 'bits' | 'order'>): Wiring {
  const line =
    over === 'tcp'
      ? { over, host: '127.0.0.1', port, timeoutMs: 700, pollMs: 200 }
      : { over, path: `tunnel:${port}`, timeoutMs: 700, pollMs: 200 };
  const read = readWiring(
    JSON.stringify({
      format: 1,
      lines: { bus: line },
      units: { io: { line: 'bus', watchdog: { ms: WATCHDOG_MS, set: [{ address: 0, value: 40 }] } } },
      hoses: {
        h1: {
          arm: { unit: 'io', coil: 0 },
          fast: { unit: 'io', coil: 1 },
          pump: { unit: 'io', coil: 2 },
          nozzle: { unit: 'io', input: 0 },
          counter: { unit: 'io', address: 0, ...setup },
        },
      },
      tanks: {
        t1: {
          level: { unit: 'io', address: 10, scale: 0.5 },
          water: { unit: 'io', address: 11, none: [65_535] },
          temperature: { unit: 'io', address: 12, signed: true, scale: 0.1 },
        },
      },
      eStop: { unit: 'io', input: 1, when: 'off' },
      mains: { unit: 'io', input: 2 },
    }),
  );
  if (!read.ok) throw new Error(JSON.stringify(read.error));
  return read.value;
}

/** The serial line of a test is a stream to the unit's gateway. */
const tunnelled: Opener = (reach, timeoutMs) =>
  reach.over === 'serial'
    ? openStream({ over: 'tcp', host: '127.0.0.1', port: Number(reach.path.split(':')[1]) }, timeoutMs)
    : openStream(reach, timeoutMs);

interface World extends AsyncDisposable {
  readonly unit: Unit;
  readonly line: BadLine;
  readonly wiring: Wiring;
  readonly yard: YardPort;
  readonly events: YardEvent[];
  readonly offsets: Map<string, number>;
  another(options?: Partial<ModbusYardOptions>): YardPort;
}
async function world(
  over: 'tcp' | 'serial',
  change: Partial<UnitSetup> = {},
  options: Partial<ModbusYardOptions> = {},
): Promise<World> {
  const setup: UnitSetup = {
    pace: PACE,
    bits: 32,
    order: 'high first',
    watchdogMs: WATCHDOG_MS,
    raw: 1_000,
    serial: over === 'serial',
    ...change,
  };
  const unit = await units.open(setup);
  const line = await badLine(unit.port, 1_000);
  const wiring = wiringOf(over, line.port, { bits: setup.bits, order: setup.order });
  const events: YardEvent[] = [];
  const offsets = new Map<string, number>();
  const another = (more: Partial<ModbusYardOptions> = {}) => {
    const yard = modbusYard({
      wiring,
      hoses: [{ id: 'h1', mostPer1000s: pulseRate(75_708_236, 100_000, 'gal') }],
      tanks: ['t1'],
      clock,
      open: tunnelled,
      keepOffset: (hose, offset) => offsets.set(hose, offset),
      fault: (error) => expect.fail(String(error)),
      ...options,
      ...more,
    });
    yards.push(yard);
    return yard;
  };
  const yards: YardPort[] = [];
  const yard = another();
  return {
    unit,
    line,
    wiring,
    yard,
    events,
    offsets,
    another,
    // By each test itself: what runs beside it must not end its yard.
    async [Symbol.asyncDispose]() {
      await Promise.all(yards.map((y) => y.close()));
      line.close();
      await unit.deed({ do: 'end' });
    },
  };
}

const has = (w: World, kind: YardEvent['kind']) => w.events.some((e) => e.kind === kind);
const countOf = (w: World) => Math.max(-1, ...w.events.flatMap((e) => ('count' in e ? [e.count] : [])));
const fallen = (w: World) => {
  const counts = w.events.flatMap((e) => ('count' in e ? [e.count] : []));
  return counts.some((c, i) => i > 0 && c < (counts[i - 1] ?? 0));
};

async function flowing(w: World, stopAtPulses = 100_000): Promise<void> {
  await w.yard.start((e) => w.events.push(e));
  await until('the hose', () => has(w, 'returned'));
  w.yard.arm({ hose: 'h1', stopAtPulses, slowAtPulses: stopAtPulses - 10 });
  await until('the arming', () => has(w, 'armed'));
  await w.unit.deed({ do: 'lift' });
  await w.unit.deed({ do: 'squeeze' });
  await until('flow', () => countOf(w) > 1_040);
}

describe.concurrent.each(['tcp', 'serial'] as const)(
  'the Modbus yard over %s keeps the promises of the port',
  (over) => {
    for (const p of YARD_PROMISES)
      it.concurrent(p.says, async () => {
        const setup = over === 'tcp' ? {} : ({ bits: 16, order: 'high first', raw: 65_500 } as const);
        await using w = await world(over, setup);
        await p.keep({
          // The suite counts from a yard that is there; sockets and another process take the wall's time for that.
          yard: {
            ...w.yard,
            async start(listener) {
              let there = false;
              await w.yard.start((e) => {
                there ||= e.kind === 'returned';
                listener(e);
              });
              await until('the hose', () => there);
            },
          },
          hose: 'h1',
          // Long enough for a busy machine; the longest waits of the suite are for slower hoses.
          pass: (ms) => pass(Math.min(20_000, Math.max(ms, 4_000))),
          lift: async () => void (await w.unit.deed({ do: 'lift' })),
          hang: async () => void (await w.unit.deed({ do: 'hang' })),
          squeeze: async () => void (await w.unit.deed({ do: 'squeeze' })),
        });
        await w.yard.close();
        expect((await w.unit.deed({ do: 'look' })).coils).toEqual([false, false, false]);
      });
  },
);

describe.concurrent('in doubt the hose closes', () => {
  it('when the line dies, by the watchdog of the unit, and comes back with what flowed', async () => {
    await using w = await world('tcp');
    await flowing(w);
    w.line.mischief = 'drop';
    await until('the watchdog', async () => (await w.unit.deed({ do: 'look' })).trips === 1);
    await until('a fault', () => has(w, 'fault'));
    const unseen = countOf(w);
    await pass(5_000);
    const { count, open } = await w.unit.deed({ do: 'look' });
    expect(open).toBe(false);
    // What flowed until the watchdog tripped is within what the adapter says of itself, and the valve's lag.
    expect(count - unseen).toBeLessThanOrEqual(Math.ceil((34 * (w.yard.can.closesWithinMs + 1_500)) / 1_000));
    w.events.length = 0;
    w.line.mischief = 'none';
    await until('its return', () => has(w, 'returned'));
    expect(countOf(w)).toBe(count);
    // Nothing opens by itself afterwards.
    await pass(3_000);
    expect((await w.unit.deed({ do: 'look' })).coils).toEqual([false, false, false]);
  });

  it.each<Mischief>(['late', 'corrupt', 'double', 'cut'])('when answers come %s', async (mischief) => {
    for (const over of ['tcp', 'serial'] as const) {
      await using w = await world(over);
      await flowing(w);
      w.line.mischief = mischief;
      // A doubled answer over TCP may also arrive between two questions, where it does no harm.
      if (mischief === 'double') await pass(4_000);
      else await until(`a fault over ${over}`, () => has(w, 'fault'));
      w.line.mischief = 'none';
      await pass(3_000);
      if (has(w, 'fault')) {
        await until('closed', async () => !(await w.unit.deed({ do: 'look' })).open);
        await until(
          'its return',
          () => w.events.findLast((e) => e.kind === 'fault' || e.kind === 'returned')?.kind === 'returned',
        );
        // Every pulse is told in the end.
        await until('the last pulse', async () => countOf(w) === (await w.unit.deed({ do: 'look' })).count);
      }
      expect(fallen(w)).toBe(false);
    }
  });

  it('not when answers come byte by byte: those are whole in the end', async () => {
    await using w = await world('tcp');
    w.line.mischief = 'split';
    await flowing(w);
    expect(has(w, 'fault')).toBe(false);
  });

  it.each([
    ['leaps', { do: 'bump', pulses: 5_000 }],
    ['steps back', { do: 'bump', pulses: -60 }],
    ['begins anew, as after a power failure of the unit', { do: 'restart' }],
    ['cannot be read: the unit refuses', { do: 'refuse', on: true }],
  ] as const)('when the counter %s', async (_, deed) => {
    await using w = await world('tcp');
    await flowing(w);
    const before = countOf(w);
    await w.unit.deed(deed);
    await until('a fault', () => has(w, 'fault'));
    await w.unit.deed({ do: 'refuse', on: false });
    await until('closed', async () => !(await w.unit.deed({ do: 'look' })).open);
    await until('its return', () => has(w, 'returned') && w.events.at(-1)?.kind !== 'fault');
    await pass(5_000);
    expect(fallen(w)).toBe(false);
    // Never the leap itself: what could have flowed until the hose was shut.
    expect(countOf(w) - before).toBeLessThan(500);
  });

  it('when the emergency stop is pressed; it arms nothing until that is out again', async () => {
    await using w = await world('tcp');
    await flowing(w);
    await w.unit.deed({ do: 'eStop', on: true });
    await until('the stop', () => w.events.some((e) => e.kind === 'eStop' && e.on));
    await until('outputs off', async () => !(await w.unit.deed({ do: 'look' })).coils.some(Boolean));
    w.events.length = 0;
    w.yard.arm({ hose: 'h1', stopAtPulses: 10, slowAtPulses: 5 });
    await until('a refusal', () => has(w, 'fault'));
    await w.unit.deed({ do: 'eStop', on: false });
    await until('the release', () => w.events.some((e) => e.kind === 'eStop' && !e.on));
    await until('its return', () => has(w, 'returned'));
    expect(has(w, 'armed')).toBe(false);
  });
});

describe.concurrent('counting', () => {
  it.each([
    [16, 'high first', 65_500],
    [32, 'high first', 2 ** 32 - 40],
    [32, 'low first', 65_500],
  ] as const)('goes on over the end of a register: %i bits, %s', async (bits, order, raw) => {
    await using w = await world('tcp', { bits, order, raw });
    await w.yard.start((e) => w.events.push(e));
    await until('the hose', () => has(w, 'returned'));
    expect(countOf(w)).toBe(raw);
    w.yard.arm({ hose: 'h1', stopAtPulses: 90, slowAtPulses: 80 });
    await until('the arming', () => has(w, 'armed'));
    await w.unit.deed({ do: 'lift' });
    await w.unit.deed({ do: 'squeeze' });
    await until('the stop count', () => countOf(w) >= raw + 90);
    await pass(4_000);
    expect(fallen(w)).toBe(false);
    expect(countOf(w)).toBe((await w.unit.deed({ do: 'look' })).count);
  });

  it('tells after a restart of the box what flowed meanwhile, and no more than could have', async () => {
    await using w = await world('tcp');
    await w.yard.start((e) => w.events.push(e));
    await until('the hose', () => has(w, 'returned'));
    await w.yard.close();
    await w.unit.deed({ do: 'bump', pulses: 12 });
    const again = w.another({ counts: { h1: 1_000 }, offsets: Object.fromEntries(w.offsets) });
    w.events.length = 0;
    await again.start((e) => w.events.push(e));
    await until('the hose', () => has(w, 'returned'));
    expect(countOf(w)).toBe(1_012);
    expect(has(w, 'fault')).toBe(false);
    await again.close();
    await w.unit.deed({ do: 'restart' });
    const third = w.another({ counts: { h1: 1_012 }, offsets: Object.fromEntries(w.offsets) });
    w.events.length = 0;
    await third.start((e) => w.events.push(e));
    await until('the hose', () => has(w, 'returned'));
    expect(countOf(w)).toBe(1_012);
    expect(w.events.find((e) => e.kind === 'fault')).toMatchObject({ words: expect.stringContaining('not counted') });
  });
});

it('reads tanks by scale, offset and sign, and sets the watchdog', async () => {
  await using w = await world('tcp');
  await w.yard.start((e) => w.events.push(e));
  await until('a level', () => has(w, 'level'));
  expect(w.events.find((e) => e.kind === 'level')).toEqual({ kind: 'level', tank: 't1', levelMm: 617, tempC: -5 });
  expect((await w.unit.deed({ do: 'look' })).watchdog).toBe(40);
});

it('probes without ever writing', async () => {
  await using w = await world('tcp');
  const rows = await probe(w.wiring, clock.monotonic, tunnelled);
  expect(Object.fromEntries(rows.map((r) => [r.point, r.value]))).toEqual({
    'hoses.h1.arm': 'off',
    'hoses.h1.fast': 'off',
    'hoses.h1.pump': 'off',
    'hoses.h1.nozzle': 'nozzle in its boot',
    'hoses.h1.counter': '1000 pulses',
    'tanks.t1.level': '617 mm',
    'tanks.t1.water': 'no reading',
    'tanks.t1.temperature': '-5 °C',
    eStop: 'not pressed',
    mains: 'there',
  });
  const look = await w.unit.deed({ do: 'look' });
  expect([look.written, look.watchdog]).toEqual([0, 0]);
  w.line.mischief = 'drop';
  const dead = await probe(w.wiring, clock.monotonic, tunnelled);
  expect(dead.every((r) => r.value === undefined && r.problem?.includes('no answer in time'))).toBe(true);
});
