import {
  type AllKind,
  ackMessage,
  againMessage,
  type DownKind,
  keysMessage,
  MOST_BUNDLE_BYTES,
  parseDownTopic,
  pinsMessage,
  signedText,
  topics,
  type UpKind,
  usageMessage,
  wantedMessage,
} from '@fillwright/wire';
import { connect, type MqttClient } from 'mqtt';
import type { Logger } from 'pino';
import type { z } from 'zod';
import type { Membership } from '../box/identity.ts';
import type { Clock } from '../clock.ts';
import { waitMs } from './outbox.ts';

/** What the office says, read and checked. */
const shapes = {
  ack: ackMessage,
  wanted: wantedMessage,
  bundle: signedText,
  stop: signedText,
  pins: pinsMessage,
  again: againMessage,
  usage: usageMessage,
  keys: keysMessage,
  time: signedText,
} as const satisfies Record<DownKind | AllKind, z.ZodType>;
export type Heard = {
  [K in keyof typeof shapes]: { readonly kind: K; readonly value: z.infer<(typeof shapes)[K]> };
}[keyof typeof shapes];

/** What a line needs of the box that it serves. */
export interface WireParts {
  readonly clock: Clock;
  readonly random: () => number;
  /** What the broker shall say of this site when it is gone. */
  readonly will: () => object;
  /** `retained`: the broker kept it from before; it may be old. */
  readonly heard: (message: Heard, retained: boolean) => void;
  readonly up: () => void;
  readonly down: () => void;
}
export interface WireOptions extends WireParts {
  readonly membership: Membership;
  readonly box: string;
  readonly log: Logger;
}

export interface Wire {
  readonly up: boolean;
  /** False while there is no link: nothing is queued here. */
  say(kind: UpKind, value: object): boolean;
  close(): Promise<void>;
}

const PATIENCE_MS = 20_000;

/** The MQTT 3.1.1 client: dials out, keeps a session at the broker, and dials again after longer and longer waits. */
export function openWire(options: WireOptions): Wire {
  const { membership, clock, log } = options;
  const { fleet, site } = membership;
  let closed = false;
  let tries = 0;
  let callOff = () => {};
  let up = false;
  let waitsNoMore = () => {};

  const client: MqttClient = connect(membership.mqttUrl, {
    protocolVersion: 4,
    clientId: options.box,
    clean: false,
    username: membership.user,
    password: membership.password,
    keepalive: 30,
    connectTimeout: PATIENCE_MS,
    reconnectPeriod: 0,
    queueQoSZero: false,
    resubscribe: false,
    will: {
      topic: topics.up(fleet, site, 'state'),
      payload: Buffer.from(JSON.stringify(options.will())),
      qos: 1,
      retain: true,
    },
  });
  client.on('connect', () => {
    // A broker without a majority takes the connection and may never answer this.
    const { stream } = client;
    waitsNoMore();
    waitsNoMore = clock.after(PATIENCE_MS, () => stream.destroy());
    client.subscribe([topics.everyDown(fleet, site), topics.everyAll(fleet)], { qos: 1 }, (error, granted) => {
      waitsNoMore();
      if (closed) return;
      if (error || granted?.some((g) => g.qos === 128)) {
        log.warn({ error: String(error ?? 'refused') }, 'the broker does not let this site listen');
        stream.destroy();
        return;
      }
      tries = 0;
      up = true;
      options.up();
    });
  });
  client.on('message', (topic, payload, packet) => {
    const kind = parseDownTopic(topic)?.kind;
    if (!kind) return;
    const read = readMessage(kind, payload);
    if (read) options.heard(read, packet.retain);
    // An empty one only clears what the broker kept.
    else if (payload.length > 0) log.warn({ topic, bytes: payload.length }, 'a message from the office cannot be read');
  });
  client.on('error', (error) => log.debug({ error: error.message }, 'link'));
  client.on('close', () => {
    if (up) options.down();
    up = false;
    waitsNoMore();
    if (closed) return;
    callOff();
    callOff = clock.after(waitMs(tries++, options.random()), () => {
      // The will is told anew at every dialling, so that it says what was last true.
      if (client.options.will) client.options.will.payload = Buffer.from(JSON.stringify(options.will()));
      if (!closed) client.reconnect();
    });
  });

  return {
    get up() {
      return up;
    },
    say(kind, value) {
      if (!up) return false;
      const packet = { qos: 1 as const, retain: kind === 'state' };
      client.publish(topics.up(fleet, site, kind), JSON.stringify(value), packet, () => undefined);
      return true;
    },
    async close() {
      closed = true;
      callOff();
      // A clean goodbye tells no will, so the site says it itself.
      if (up) {
        const last = JSON.stringify(options.will());
        await Promise.race([
          client.publishAsync(topics.up(fleet, site, 'state'), last, { qos: 1, retain: true }).catch(() => undefined),
          new Promise((resolve) => setTimeout(resolve, 2_000).unref()),
        ]);
      }
      up = false;
      await client.endAsync(true).catch(() => undefined);
    },
  };
}

/** Signed text is escaped once more within its message; everybody's PINs come in one. */
const MOST_BYTES = { large: 2 * MOST_BUNDLE_BYTES, other: 1_048_576 } as const;

/** A message of the office as it came, checked; undefined where it is too long or cannot be read. */
export function readMessage(kind: DownKind | AllKind, payload: Uint8Array): Heard | undefined {
  const large = kind === 'bundle' || kind === 'pins';
  if (payload.length > (large ? MOST_BYTES.large : MOST_BYTES.other)) return undefined;
  try {
    const read = shapes[kind].safeParse(JSON.parse(Buffer.from(payload).toString('utf8')));
    return read.success ? ({ kind, value: read.data } as Heard) : undefined;
  } catch {
    return undefined;
  }
}
