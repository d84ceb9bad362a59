import { type AddressInfo, createServer, type Socket } from 'node:net';
import { topics } from '@fillwright/wire';
import { Aedes } from 'aedes';
import { pino } from 'pino';
import { afterEach, describe, expect, it } from 'vitest';
import { openLine } from './line.ts';

const ends: (() => Promise<unknown>)[] = [];
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end();
});

/** A real broker that refuses the office's subscription as often as it is told to, as one does that has no majority. */
async function brokerThatRefuses() {
  const broker = await Aedes.createBroker();
  let refusals = 0;
  let asked = 0;
  broker.authorizeSubscribe = (_client, subscription, done) => {
    asked++;
    done(null, refusals-- > 0 ? null : subscription);
  };
  const sockets = new Set<Socket>();
  const server = createServer((socket) => {
    sockets.add(socket);
    broker.handle(socket);
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  ends.push(() => new Promise<void>((done) => broker.close(() => server.close(() => done()))));
  return {
    url: `mqtt://127.0.0.1:${(server.address() as AddressInfo).port}`,
    asked: () => asked,
    refuse: (times: number) => {
      refusals = times;
    },
    dropAll: () => {
      for (const socket of sockets) socket.destroy();
    },
    publish: (topic: string) =>
      new Promise<void>((done) =>
        broker.publish({ cmd: 'publish', topic, payload: 'x', qos: 1, retain: false, dup: false }, () => done()),
      ),
  };
}

describe("the office's line", () => {
  it('dials again when the broker that came back refuses to let it listen, until it hears', async () => {
    const broker = await brokerThatRefuses();
    const heard: string[] = [];
    let opened = 0;
    const line = await openLine({
      url: broker.url,
      clientId: 'office',
      log: pino({ level: 'silent' }),
      opened: () => void opened++,
      heard: async (topic) => void heard.push(topic),
    });
    if (!line.ok) throw new Error(line.error.code);
    ends.push(() => line.value.stop());
    expect(opened).toBe(1);

    broker.refuse(2);
    broker.dropAll();
    await expect.poll(() => opened, { timeout: 20_000 }).toBe(2);
    expect(broker.asked()).toBe(4);
    const topic = topics.up('f', 's', 'state');
    await broker.publish(topic);
    await expect.poll(() => heard, { timeout: 5_000 }).toEqual([topic]);
  });
});
