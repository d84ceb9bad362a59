import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import { topics } from '@fillwright/wire';
import { connect, type IPublishPacket, type MqttClient } from 'mqtt';
import type { Logger } from 'pino';

/** The hub's own line to the broker. */
export interface Line {
  /** Hands a message to the broker; while there is no line it waits for one. */
  say(topic: string, value: unknown, how?: { retain?: boolean; qos?: 0 | 1 }): void;
  /** Takes a retained message away. */
  clear(topic: string): void;
  stop(): Promise<void>;
}

export interface LineOptions {
  readonly url: string;
  readonly login?: string | undefined;
  readonly password?: string | undefined;
  readonly clientId: string;
  readonly log: Logger;
  /** The line to the broker is open, for the first time or again. */
  readonly opened: () => void;
  readonly heard: (topic: string, payload: Buffer) => Promise<void>;
}

/** Messages in work at once; beyond it the broker waits, so that a flood stays at the broker and not in memory. */
const MOST_IN_WORK = 64;
const PATIENCE_MS = 15_000;

export async function openLine(options: LineOptions): Promise<Result<Line, Problem>> {
  const { log } = options;
  const client: MqttClient = connect(options.url, {
    protocolVersion: 4,
    clientId: options.clientId,
    clean: true,
    keepalive: 30,
    reconnectPeriod: 1000,
    // The library forgets a subscription that was refused once, and tells nobody: here it is asked for at every opening.
    resubscribe: false,
    connectTimeout: PATIENCE_MS,
    ...(options.login === undefined ? {} : { username: options.login }),
    ...(options.password === undefined ? {} : { password: options.password }),
  });
  let inWork = 0;
  client.handleMessage = (packet: IPublishPacket, done) => {
    inWork++;
    const taken = inWork < MOST_IN_WORK;
    if (taken) done();
    options
      .heard(packet.topic, Buffer.from(packet.payload))
      .catch((cause) => log.error(cause, `a message at ${packet.topic} could not be taken`))
      .finally(() => {
        inWork--;
        if (!taken) done();
      });
  };
  let last = 'no answer';
  client.on('error', (e) => {
    last = e.message;
    log.warn(`the broker: ${e.message}`);
  });
  const here = await new Promise<boolean>((resolve) => {
    const timer = setTimeout(() => resolve(false), PATIENCE_MS);
    client.on('connect', () => {
      // An office that is connected and hears nobody is worse than one that dials again.
      const { stream } = client;
      const unanswered = setTimeout(() => stream.destroy(), PATIENCE_MS).unref();
      client.subscribe(topics.everyUp(), { qos: 1 }, (error, granted) => {
        clearTimeout(unanswered);
        const heard = !error && !granted?.some((g) => g.qos === 128);
        if (heard) {
          // A broker that comes back may have forgotten what was kept for the sites, and nobody tells who is gone.
          options.opened();
        } else {
          last = error?.message ?? 'it does not let the office listen';
          log.warn(`the broker: ${last}`);
          stream.destroy();
        }
        clearTimeout(timer);
        resolve(heard);
      });
    });
  });
  if (!here) {
    await client.endAsync(true).catch(() => undefined);
    return err(problem('FW-504', { found: last }));
  }
  const publish = (topic: string, payload: string, how: { retain?: boolean; qos?: 0 | 1 }) => {
    client.publish(topic, payload, { qos: how.qos ?? 1, retain: how.retain ?? false }, (error) => {
      if (error) log.debug(`${topic}: ${error.message}`);
    });
  };
  return ok({
    say: (topic, value, how = {}) => {
      // A sign of life is worth nothing later.
      if (how.qos !== 0 || client.connected) publish(topic, JSON.stringify(value), how);
    },
    clear: (topic) => publish(topic, '', { retain: true }),
    stop: async () => {
      await client.endAsync(true).catch(() => undefined);
    },
  });
}
