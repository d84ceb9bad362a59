import { type AddressInfo, createServer, type Socket } from 'node:net';
import { pulseRate } from '@fillwright/core/metering';
import { afterAll, describe, expect, it, onTestFinished } from 'vitest';
import {
  modbusYard,
  openLineReader,
  probe,
  type Reading,
  readWiring,
  type Wiring,
  type YardEvent,
} from '../src/index.ts';
import { NO_PTY, PTY, serialLine } from './pty.ts';
import { fastClock as clock, PACE, type Unit, unitProcess, until } from './unit-process.ts';

/** A real serial port of the kernel, opened as on a box: bits a second and parity are set on it, though a pseudo-terminal heeds neither. */
const units = unitProcess();
afterAll(() => units.end());

function wiringAt(path: string): Wiring {
  const read = readWiring(
    JSON.stringify({
      format: 1,
      lines: { bus: { over: 'serial', path, timeoutMs: 700, pollMs: 200 } },
      units: { io: { line: 'bus', watchdog: { ms: 6_000, set: [{ address: 0, value: 40 }] } } },
      hoses: {
        h1: {
          arm: { unit: 'io', coil: 0 },
          nozzle: { unit: 'io', input: 0 },
          counter: { unit: 'io', address: 0, bits: 32 },
        },
      },
      tanks: { t1: { level: { unit: 'io', address: 10, scale: 0.5 } } },
      eStop: { unit: 'io', input: 1, when: 'off' },
    }),
  );
  if (!read.ok) throw new Error(JSON.stringify(read.error));
  return read.value;
}

describe.skipIf(!PTY)(`over a serial port${NO_PTY}`, () => {
  it('Modbus RTU opens, counts and closes a hose; the port pulled out closes it, and plugged in again it comes back', async () => {
    const unit: Unit = await units.open({
      pace: PACE,
      bits: 32,
      order: 'high first',
      watchdogMs: 6_000,
      raw: 1_000,
      serial: true,
    });
    const line = serialLine();
    onTestFinished(() => line.remove());
    await line.lay(unit.port);
    const events: YardEvent[] = [];
    const yard = modbusYard({
      wiring: wiringAt(line.path),
      hoses: [{ id: 'h1', mostPer1000s: pulseRate(75_708_236, 100_000, 'gal') }],
      tanks: ['t1'],
      clock,
      fault: (error) => expect.fail(String(error)),
    });
    onTestFinished(() => void yard.close());
    const has = (kind: YardEvent['kind']) => events.some((e) => e.kind === kind);
    const look = () => unit.deed({ do: 'look' });
    const count = () => Math.max(-1, ...events.flatMap((e) => ('count' in e ? [e.count] : [])));

    await yard.start((e) => events.push(e));
    await until('the hose', () => has('returned'));
    yard.arm({ hose: 'h1', stopAtPulses: 60, slowAtPulses: 50 });
    await until('the arming', () => has('armed'));
    await unit.deed({ do: 'lift' });
    await unit.deed({ do: 'squeeze' });
    await until('the stop count', async () => count() >= 1_060 && !(await look()).open);
    yard.disarm('h1');
    await until('the word that it is closed', () => has('disarmed'));
    await until('the level', () => has('level'));
    expect(events.find((e) => e.kind === 'level')).toMatchObject({ tank: 't1', levelMm: 617 });

    events.length = 0;
    yard.arm({ hose: 'h1', stopAtPulses: 100_000, slowAtPulses: 90_000 });
    await until('flow', () => count() > 1_100);
    await line.pull();
    await until('a fault', () => has('fault'));
    await until('the watchdog', async () => (await look()).trips === 1);
    events.length = 0;
    await line.lay(unit.port);
    await until('its return', () => has('returned'));
    // Every pulse is told, and nothing opens by itself.
    expect(count()).toBe((await look()).count);
    expect((await look()).coils.some(Boolean)).toBe(false);
    await yard.close();
    await unit.deed({ do: 'end' });
  });

  it('the probe reads what answers there', async () => {
    const setup = { pace: PACE, bits: 32, order: 'high first', watchdogMs: 6_000, raw: 1_234, serial: true } as const;
    const unit = await units.open(setup);
    const line = serialLine();
    onTestFinished(() => line.remove());
    await line.lay(unit.port);
    const found = await probe(wiringAt(line.path), clock.monotonic);
    expect(JSON.stringify(found)).toContain('1234');
    expect((await unit.deed({ do: 'look' })).written).toBe(0);
    await unit.deed({ do: 'end' });
  });

  it('the line reader reads cards, drops half a one where the port is pulled out, and opens it again', async () => {
    const sockets: Socket[] = [];
    const server = createServer((s) => void sockets.push(s.on('error', () => {})));
    await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
    const { port } = server.address() as AddressInfo;
    const line = serialLine();
    onTestFinished(async () => {
      await line.remove();
      server.close();
    });
    await line.lay(port);
    await until('the line', () => sockets.length === 1);
    const heard: Reading[] = [];
    const reader = openLineReader({
      reader: {
        over: 'serial',
        path: line.path,
        baud: 9_600,
        parity: 'none',
        stopBits: 1,
        form: 'track 2',
        silenceMs: 2_000,
      },
      clock,
      heard: (r) => heard.push(r),
    });
    onTestFinished(() => reader.close());
    await until('the port', () => reader.connected);
    sockets[0]?.write(';700881=2712?\r\n;7008');
    await until('a card', () => heard.length === 1);
    await line.pull();
    await until('the break', () => !reader.connected);
    await line.lay(port);
    await until('the port again', () => reader.connected && sockets.length === 2);
    sockets[1]?.write(';82=2712?\r\n;82?2712\r\n');
    await until('more', () => heard.length === 3);
    expect(heard.map((r) => (r.ok ? r.number : 'misread'))).toEqual(['700881', '82', 'misread']);
  });
});
