import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { type AddressInfo, createServer, type Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { readWiring, type YardEvent } from '@fillwright/devices';
import { pino } from 'pino';
import { afterAll, expect, it, onTestFinished } from 'vitest';
import { type Unit, unitProcess } from '../../../packages/devices/test/unit-process.ts';
import { realClock } from './clock.ts';
import { SITE, world } from './testing/world.ts';
import { wiredYards } from './wired.ts';

/** The yard of a wiring file, against a Modbus server of another library in another process and a card reader on TCP. */
const PACE = 4;
const units = unitProcess();
afterAll(() => units.end());

function freshFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'fillwright-wired-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

async function readerAt(): Promise<{ port: number; sockets: Socket[] }> {
  const sockets: Socket[] = [];
  const server = createServer((s) => void sockets.push(s.on('error', () => {})));
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
  onTestFinished(() => {
    for (const s of sockets) s.destroy();
    server.close();
  });
  return { port: (server.address() as AddressInfo).port, sockets };
}

/** As an electrician leaves it beside the box. */
function wiringFile(folder: string, unit: number, reader: number, more: object = {}): string {
  const file = join(folder, 'wiring.json');
  const wiring = {
    format: 1,
    lines: { bus: { over: 'tcp', host: '127.0.0.1', port: unit, timeoutMs: 700, pollMs: 100 } },
    units: { io: { line: 'bus', watchdog: { ms: 6_000, set: [{ address: 0, value: 40 }] } } },
    hoses: {
      h1: {
        arm: { unit: 'io', coil: 0 },
        fast: { unit: 'io', coil: 1 },
        nozzle: { unit: 'io', input: 0 },
        counter: { unit: 'io', address: 0, bits: 32 },
      },
      ...more,
    },
    tanks: { t1: { level: { unit: 'io', address: 10, scale: 0.5 } } },
    readers: { term: { over: 'tcp', host: '127.0.0.1', port: reader, form: 'track 2' } },
    eStop: { unit: 'io', input: 1, when: 'off' },
  };
  writeFileSync(file, JSON.stringify(wiring));
  return file;
}

interface Life {
  readonly events: YardEvent[];
  /** What the log says, as codes or words. */
  readonly said: string[];
  readonly port: ReturnType<ReturnType<typeof wiredYards>>['port'];
}

async function live(file: string, dataDir: string, counts: Readonly<Record<string, number>>): Promise<Life> {
  const wiring = readWiring(readFileSync(file, 'utf8'));
  if (!wiring.ok) throw new Error(JSON.stringify(wiring.error));
  const said: string[] = [];
  const log = pino({ level: 'info' }, { write: (line: string) => void said.push(line) });
  const make = wiredYards({
    wiring: wiring.value,
    clock: realClock(PACE),
    dataDir,
    log,
    fault: (error) => expect.fail(String(error)),
  });
  const { port } = make(world(), SITE, { counts, answer: () => {} });
  const events: YardEvent[] = [];
  await port.start((e) => events.push(e));
  return { events, said, port };
}

async function until(what: string, holds: () => boolean | Promise<boolean>): Promise<void> {
  for (let i = 0; !(await holds()); i++) {
    if (i > 2_000) throw new Error(`waited in vain for ${what}`);
    await new Promise((done) => setTimeout(done, 10));
  }
}
const unitOf = (raw: number): Promise<Unit> =>
  units.open({ pace: PACE, bits: 32, order: 'high first', watchdogMs: 6_000, raw, serial: false });
const back = (l: Life) => l.events.find((e) => e.kind === 'returned' && e.hose === 'h1');

it('serves hoses, tanks and readers of the file, keeps where each count stands, and tells after a restart what flowed meanwhile', async () => {
  const folder = freshFolder();
  const unit = await unitOf(1_000);
  const reader = await readerAt();
  const file = wiringFile(folder, unit.port, reader.port);
  const first = await live(file, folder, { h1: 50_000 });
  await until('the hose', () => back(first) !== undefined);
  // The box goes on from its own count, whatever the register says.
  expect(back(first)).toMatchObject({ count: 50_000, lifted: false });
  expect(JSON.parse(readFileSync(join(folder, 'counter-offsets.json'), 'utf8'))).toEqual({ h1: 49_000 });
  expect(first.said.join()).toContain('hoses.h2 is not wired');
  expect(first.port.can).toMatchObject({ readers: true, levels: true, closesAtCount: 'polled' });

  await until('the reader', () => reader.sockets.length === 1);
  reader.sockets[0]?.write(';700881=2712?\r\n');
  await until('a card', () => first.events.some((e) => e.kind === 'credential'));
  expect(first.events).toContainEqual({ kind: 'credential', terminal: 'term', number: '700881' });
  await until('the level', () => first.events.some((e) => e.kind === 'level'));

  first.port.arm({ hose: 'h1', stopAtPulses: 30, slowAtPulses: 20 });
  await until('the arming', () => first.events.some((e) => e.kind === 'armed'));
  await unit.deed({ do: 'lift' });
  await unit.deed({ do: 'squeeze' });
  await until('the stop count', () => first.events.some((e) => e.kind === 'pulses' && e.count >= 50_030));
  await first.port.close();
  await unit.deed({ do: 'hang' });
  await until('the closed hose', async () => {
    const before = (await unit.deed({ do: 'look' })).count;
    await new Promise((done) => setTimeout(done, 200));
    const { open, count } = await unit.deed({ do: 'look' });
    return !open && count === before;
  });

  // While the box was away the counter moved by 5: it is told, since the register's place is kept.
  const { count } = await unit.deed({ do: 'look' });
  await unit.deed({ do: 'bump', pulses: 5 });
  const second = await live(file, folder, { h1: 50_030 });
  await until('the hose again', () => back(second) !== undefined);
  expect(back(second)).toMatchObject({ count: count + 49_000 + 5 });
  await second.port.close();
  await unit.deed({ do: 'end' });
});

it('says which parts of the file the site does not have, and begins anew where the kept places cannot be read', async () => {
  const folder = freshFolder();
  writeFileSync(join(folder, 'counter-offsets.json'), '{"h1": "many"');
  const unit = await unitOf(2_000);
  const reader = await readerAt();
  const h9 = { arm: { unit: 'io', coil: 5 }, counter: { unit: 'io', address: 12 } };
  const box = await live(wiringFile(folder, unit.port, reader.port, { h9 }), folder, { h1: 7 });
  await until('the hose', () => back(box) !== undefined);
  expect(box.said.filter((line) => line.includes('FW-614')).join()).toContain('hoses.h9 is not of this site');
  expect(box.said.join()).toContain('cannot be read; they begin anew');
  expect(back(box)).toMatchObject({ count: 7 });
  expect(JSON.parse(readFileSync(join(folder, 'counter-offsets.json'), 'utf8'))).toMatchObject({
    h1: 2 ** 32 - 2_000 + 7,
  });
  // A hose that is not wired never opens: it says so.
  box.port.arm({ hose: 'h2', stopAtPulses: 10, slowAtPulses: 5 });
  await until('a fault', () => box.events.some((e) => e.kind === 'fault' && e.hose === 'h2'));
  expect((await unit.deed({ do: 'look' })).coils.some(Boolean)).toBe(false);
  await box.port.close();
  await unit.deed({ do: 'end' });
});
