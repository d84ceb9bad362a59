import { deskEvent } from '@fillwright/wire';
import pg from 'pg';
import { z } from 'zod';
import { type Place, quoted } from '../store/database.ts';

const news = z.strictObject({ from: z.string(), fleet: z.string(), event: deskEvent });
const anew = z.strictObject({ from: z.string(), anew: z.literal(true) });
const notice = z.union([news, anew]);
export type News = Omit<z.infer<typeof news>, 'from'>;

const FIRST_WAIT_MS = 500;
const LONGEST_WAIT_MS = 30_000;
/** So much news is kept while the line is cut; beyond it the others are told to look anew. */
export const MOST_UNTOLD = 200;

/** The line between the processes of one office. */
export interface Across {
  tell(news: News): void;
  stop(): Promise<void>;
}

export interface AcrossOptions {
  readonly place: Place;
  /** Names this process. */
  readonly self: string;
  /** What another process told. */
  readonly heard: (news: News) => void;
  /** Anything may have been told that did not come: the line was cut and stands again, or another process says so. */
  readonly missed: () => void;
  readonly warn: (words: string) => void;
}

/**
 * Several processes may serve one database: what one tells its desks, the others hear by the database's own notices. News is
 * small and only says "ask again". What is told while the line is cut is kept and told when it stands; it may come twice.
 * What a process could not tell before it ended is lost: a desk at another one sees it with its next question.
 */
export async function openAcross(o: AcrossOptions): Promise<Across> {
  const channel = `${o.place.schema}_desks`;
  const untold: string[] = [];
  let line: pg.Client | undefined;
  let telling = Promise.resolve();
  let busy = false;
  let again: NodeJS.Timeout | undefined;
  let stopped = false;
  let wait = FIRST_WAIT_MS;
  let waiting: NodeJS.Timeout | undefined;

  const hear = (text: string | undefined) => {
    const told = notice.safeParse(JSON.parse(text ?? 'null'));
    if (!told.success || told.data.from === o.self) return;
    if ('anew' in told.data) o.missed();
    else o.heard({ fleet: told.data.fleet, event: told.data.event });
  };
  /** One after the other, as the driver wants it, until nothing is left or one cannot be told. */
  const tellAll = async (on: pg.Client): Promise<void> => {
    busy = true;
    for (let text = untold.shift(); text !== undefined; text = untold.shift()) {
      try {
        await on.query('select pg_notify($1, $2)', [channel, text]);
      } catch {
        untold.unshift(text);
        again = setTimeout(tellOn, FIRST_WAIT_MS).unref();
        break;
      }
    }
    busy = false;
  };
  const tellOn = () => {
    if (line && !busy && !stopped) telling = tellAll(line);
  };
  const dial = async (): Promise<void> => {
    const client = new pg.Client({
      ...{ connectionString: o.place.url, options: `-c role=${o.place.role}` },
      application_name: channel,
    });
    client.on('notification', (n) => hear(n.payload));
    client.on('error', () => undefined);
    client.on('end', () => {
      if (line === client) lost('it was closed');
    });
    await client.connect();
    await client.query(`listen ${quoted(channel)}`);
    if (stopped) return client.end();
    line = client;
    wait = FIRST_WAIT_MS;
    tellOn();
  };
  const lost = (why: string) => {
    line = undefined;
    if (stopped) return;
    o.warn(`the line between the office's processes was lost: ${why}`);
    waiting = setTimeout(() => {
      dial().then(o.missed, (cause: Error) => lost(cause.message));
    }, wait).unref();
    wait = Math.min(2 * wait, LONGEST_WAIT_MS);
  };

  await dial().catch((cause: Error) => lost(cause.message));
  return {
    tell(told) {
      untold.push(JSON.stringify({ from: o.self, ...told }));
      if (untold.length > MOST_UNTOLD) untold.splice(0, untold.length, JSON.stringify({ from: o.self, anew: true }));
      tellOn();
    },
    async stop() {
      stopped = true;
      clearTimeout(waiting);
      clearTimeout(again);
      await telling;
      await line?.end();
    },
  };
}
