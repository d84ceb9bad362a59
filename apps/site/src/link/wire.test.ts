import { type AddressInfo, createServer, type Socket } from 'node:net';
import { topics } from '@fillwright/wire';
import { Aedes } from 'aedes';
import { pino } from 'pino';
import { afterEach, describe, expect, it } from 'vitest';
import type { Clock } from '../clock.ts';
import { openWire } from './wire.ts';

const ends: (() => Promise<unknown>)[] = [];
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end();
});

type Answer = 'grants' | 'refuses' | 'says nothing';

/** A real broker whose answers to a subscription are told beforehand, each for both filters of one dialling; after these it grants. */
async function brokerThat(...answers: Answer[]) {
  /** What happened, in its order: dialled by the box, and what the box says of its line. */
  const story: string[] = [];
  let broker = await Aedes.createBroker();
  const sockets = new Set<Socket>();
  const server = createServer((socket) => {
    sockets.add(socket);
    socket.on('close', () => sockets.delete(socket));
    broker.handle(socket);
  });
  const attend = () => {
    let now: Answer = 'grants';
    broker.on('client', () => {
      story.push('dialled');
      now = answers.shift() ?? 'grants';
    });
    broker.authorizeSubscribe = (_client, subscription, done) => {
      if (now !== 'says nothing') done(null, now === 'refuses' ? null : subscription);
    };
  };
  attend();
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const closeBroker = () => new Promise<void>((done) => broker.close(() => done()));
  ends.push(async () => {
    for (const socket of sockets) socket.destroy();
    await closeBroker();
    await new Promise<void>((done) => server.close(() => done()));
  });
  return {
    url: `mqtt://127.0.0.1:${(server.address() as AddressInfo).port}`,
    story,
    dropAll() {
      for (const socket of sockets) socket.destroy();
    },
    /** The broker is killed and comes back without what it kept. */
    async wiped() {
      for (const socket of sockets) socket.destroy();
      await closeBroker();
      broker = await Aedes.createBroker();
      attend();
    },
    publish: (topic: string, value: object) =>
      new Promise<void>((done) =>
        broker.publish(
          { cmd: 'publish', topic, payload: JSON.stringify(value), qos: 1, retain: false, dup: false },
          () => done(),
        ),
      ),
  };
}

/** Its waits are a hundredth of the box's. */
const quick: Clock = {
  pace: 1,
  now: Date.now,
  monotonic: () => performance.now(),
  after(ms, call) {
    const timer = setTimeout(call, ms / 100);
    return () => clearTimeout(timer);
  },
};

function boxAt(mqttUrl: string, story: string[]) {
  const heard: string[] = [];
  const wire = openWire({
    membership: {
      fleet: 'f',
      site: 's',
      name: 's',
      officeKey: '',
      officeKeyVersion: 0,
      mqttUrl,
      user: 'box',
      password: '',
    },
    box: 'box-1',
    clock: quick,
    random: () => 0.5,
    log: pino({ level: 'silent' }),
    will: () => ({}),
    heard: (message) => heard.push(message.kind),
    up: () => story.push('up'),
    down: () => story.push('down'),
  });
  ends.push(() => wire.close());
  return heard;
}

const ack = { epoch: 'e', upTo: 1, setAside: [] };
const soon = { timeout: 10_000 };

describe("the box's line", () => {
  it.each(['refuses', 'says nothing'] as const)(
    'to a broker that %s when it asks to listen is not up, and is dialled again until the box hears',
    async (answer) => {
      const { url, story, publish } = await brokerThat(answer, answer);
      const heard = boxAt(url, story);
      await expect.poll(() => story, soon).toEqual(['dialled', 'dialled', 'dialled', 'up']);
      await publish(topics.down('f', 's', 'ack'), ack);
      await expect.poll(() => heard, soon).toEqual(['ack']);
    },
  );

  it('refused when it comes back is down for the box, until it hears again', async () => {
    const { url, story, dropAll, publish } = await brokerThat('grants', 'refuses');
    const heard = boxAt(url, story);
    await expect.poll(() => story, soon).toEqual(['dialled', 'up']);
    dropAll();
    await expect.poll(() => story, soon).toEqual(['dialled', 'up', 'down', 'dialled', 'dialled', 'up']);
    await publish(topics.down('f', 's', 'ack'), ack);
    await expect.poll(() => heard, soon).toEqual(['ack']);
  });

  it('listens again at a broker that has forgotten it', async () => {
    const { url, story, wiped, publish } = await brokerThat();
    const heard = boxAt(url, story);
    await expect.poll(() => story, soon).toEqual(['dialled', 'up']);
    await wiped();
    await expect.poll(() => story.slice(2), soon).toEqual(expect.arrayContaining(['down', 'up']));
    await publish(topics.down('f', 's', 'ack'), ack);
    await publish(topics.all('f', 'usage'), { at: 1, totals: [] });
    await expect.poll(() => heard, soon).toEqual(['ack', 'usage']);
  });
});
