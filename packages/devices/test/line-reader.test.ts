import { type AddressInfo, createServer, type Socket } from 'node:net';
import { describe, expect, it, onTestFinished } from 'vitest';
import { virtualClock } from '../../sim/src/clock.ts';
import { harrowmere } from '../../sim/src/harrowmere/index.ts';
import { simulatedYard, yardShapeOf } from '../../sim/src/yard.ts';
import { openLineReader, type Reading, withReaders, YARD_PROMISES, type YardEvent } from '../src/index.ts';

const clock = {
  monotonic: () => performance.now(),
  // Retries need not take a second here.
  after(ms: number, call: () => void) {
    const timer = setTimeout(call, ms / 10);
    return () => clearTimeout(timer);
  },
};

async function readerServer(): Promise<{ port: number; sockets: Socket[] }> {
  const sockets: Socket[] = [];
  const server = createServer((s) => {
    s.on('error', () => {});
    sockets.push(s);
  });
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
  onTestFinished(() => {
    for (const s of sockets) s.destroy();
    server.close();
  });
  return { port: (server.address() as AddressInfo).port, sockets };
}
const until = async (holds: () => boolean) => {
  for (let i = 0; i < 1_000 && !holds(); i++) await new Promise((done) => setTimeout(done, 10));
  if (!holds()) throw new Error('waited in vain');
};

it('reads over TCP, drops half a card at a break, and dials again', async () => {
  const { port, sockets } = await readerServer();
  const heard: Reading[] = [];
  const reader = openLineReader({
    reader: { over: 'tcp', host: '127.0.0.1', port, form: 'plain', silenceMs: 2_000 },
    clock,
    heard: (r) => heard.push(r),
  });
  onTestFinished(() => reader.close());
  await until(() => sockets.length === 1 && reader.connected);
  sockets[0]?.write('700881\r\n');
  await until(() => heard.length === 1);
  sockets[0]?.write('7008');
  sockets[0]?.end();
  await until(() => sockets.length === 2 && reader.connected);
  sockets[1]?.write('82\n');
  await until(() => heard.length === 2);
  expect(heard).toEqual([
    { ok: true, number: '700881' },
    { ok: true, number: '82' },
  ]);
});

describe('a yard with readers beside it keeps the promises of the port', () => {
  const open = () => {
    const time = virtualClock(1_800_000_000_000);
    const yard = simulatedYard(yardShapeOf(harrowmere(), 'highfell'), { clock: time, seed: 'readers' });
    const hose = 'highfell-h2';
    const readers = { t: { over: 'tcp', host: '127.0.0.1', port: 1, form: 'plain', silenceMs: 150 } } as const;
    return {
      yard: withReaders(yard, { readers, clock }),
      hose,
      pass: (ms: number) => time.runUntil(time.now() + ms),
      lift: () => yard.lift(hose),
      hang: () => yard.hang(hose),
      squeeze: () => yard.squeeze(hose, 1),
    };
  };
  for (const p of YARD_PROMISES)
    it(p.says, async () => {
      const trial = open();
      onTestFinished(() => void trial.yard.close());
      await p.keep(trial);
    });
});

it('tells of cards and misreadings at their terminal', async () => {
  const { port, sockets } = await readerServer();
  const events: YardEvent[] = [];
  const time = virtualClock(0);
  const yard = withReaders(simulatedYard({ hoses: [], tanks: [], terminals: ['gate'] }, { clock: time, seed: 1 }), {
    readers: { gate: { over: 'tcp', host: '127.0.0.1', port, form: 'track 2', silenceMs: 500 } },
    clock,
  });
  onTestFinished(() => void yard.close());
  void yard.start((e) => events.push(e));
  await until(() => sockets.length === 1);
  sockets[0]?.write(';700881=2712?\n;70088');
  await until(() => events.length === 2);
  expect(events).toEqual([
    { kind: 'credential', terminal: 'gate', number: '700881' },
    { kind: 'misread', terminal: 'gate' },
  ]);
});
