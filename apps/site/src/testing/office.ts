import { type AddressInfo, createServer, type Server, type Socket } from 'node:net';
import type { Fleet } from '@fillwright/core/fleet';
import {
  type EntriesMessage,
  entriesMessage,
  parseUpTopic,
  type SignedText,
  type StateMessage,
  stateMessage,
  topics,
} from '@fillwright/wire';
import { newSigningKeys, signValue } from '@fillwright/wire/keys';
import { Aedes } from 'aedes';
import { bundleOf } from '../practice.ts';
import { SITE } from './world.ts';

/** A tiny office: a real broker, which stores what it is told, in order, and acknowledges only when `acks` is on. */
export const FLEET = 'wharf-works';

export interface TestOffice {
  readonly keys: ReturnType<typeof newSigningKeys>;
  readonly url: string;
  readonly entries: EntriesMessage['entries'];
  readonly states: StateMessage[];
  readonly got: unknown[];
  readonly fetched: number[];
  readonly connects: () => number;
  acks: boolean;
  epoch: string;
  say(kind: Parameters<typeof topics.down>[2], value: object, retain?: boolean): void;
  sayAll(kind: Parameters<typeof topics.all>[1], value: object): void;
  /** The office's time, signed. */
  sayTime(at: number): void;
  /** Offers a bundle as the hub does: a retained notice; the site fetches it. */
  offer(text: SignedText): void;
  bundle(fleet: Fleet, revision: number, change?: object): SignedText;
  acknowledge(): void;
  /** Off the network, and back at the same address. */
  away(): Promise<void>;
  back(): Promise<void>;
  close(): Promise<void>;
}

export async function testOffice(now: () => number): Promise<TestOffice> {
  const broker = await Aedes.createBroker();
  const server: Server = createServer(broker.handle);
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port } = server.address() as AddressInfo;
  const sockets = new Set<Socket>();
  server.on('connection', (socket) => {
    sockets.add(socket);
    socket.on('close', () => sockets.delete(socket));
  });
  const keys = newSigningKeys();
  const offered = new Map<number, SignedText>();
  let connects = 0;
  broker.on('client', () => {
    connects++;
  });
  // One after the other, as on a wire: two published within one turn of the loop overtake each other in aedes if the first is kept, and it
  // then takes the first for a repeat, drops it, and breaks the listener's session off.
  let turn = Promise.resolve();
  const publish = (topic: string, value: object, retain = false) => {
    const payload = Buffer.from(JSON.stringify(value));
    turn = turn.then(
      () =>
        new Promise((done) =>
          broker.publish({ cmd: 'publish', topic, payload, qos: 1, retain, dup: false }, () => done()),
        ),
    );
  };
  const office: TestOffice = {
    keys,
    url: `mqtt://127.0.0.1:${port}`,
    entries: [],
    states: [],
    got: [],
    fetched: [],
    connects: () => connects,
    acks: true,
    epoch: '',
    say: (kind, value, retain) => publish(topics.down(FLEET, SITE, kind), value, retain),
    sayAll: (kind, value) => publish(topics.all(FLEET, kind), value),
    sayTime: (at) => office.sayAll('time', signValue({ fleet: FLEET, at }, keys.privateKey)),
    offer(text) {
      const { revision } = JSON.parse(text.signed) as { revision: number };
      offered.set(revision, text);
      office.say('wanted', { revision, digest: '', bytes: text.signed.length }, true);
    },
    bundle: (fleet, revision, change = {}) =>
      signValue(
        { ...bundleOf(fleet, { fleet: FLEET, site: SITE, revision, parent: null, now: now() }), ...change },
        keys.privateKey,
      ),
    acknowledge() {
      if (office.entries.length > 0)
        office.say('ack', { epoch: office.epoch, upTo: office.entries.length, setAside: [] });
    },
    async away() {
      const closed = new Promise<void>((resolve) => server.close(() => resolve()));
      for (const socket of sockets) socket.destroy();
      await closed;
    },
    async back() {
      await new Promise<void>((resolve) => server.listen(port, '127.0.0.1', resolve));
    },
    async close() {
      await new Promise<void>((resolve) => broker.close(() => resolve()));
      if (server.listening) await office.away();
    },
  };
  broker.on('publish', (packet, client) => {
    const kind = parseUpTopic(packet.topic)?.kind;
    // The will is published for a client that is gone.
    if (!kind || (!client && kind !== 'state')) return;
    const value: unknown = JSON.parse(packet.payload.toString());
    if (kind === 'state') office.states.push(stateMessage.parse(value));
    else if (kind === 'got') office.got.push(value);
    else if (kind === 'fetch') {
      const { revision } = value as { revision: number };
      office.fetched.push(revision);
      const text = offered.get(revision);
      if (text) office.say('bundle', text);
    } else {
      const message = entriesMessage.parse(value);
      office.epoch = message.epoch;
      for (const entry of message.entries) if (entry.seq === office.entries.length + 1) office.entries.push(entry);
      if (office.acks) office.acknowledge();
    }
  });
  return office;
}
