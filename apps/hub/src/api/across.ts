import { deskEvent } from '@fillwright/wire';
import pg from 'pg';
import { z } from 'zod';
import { type Place, quoted } from '../store/database.ts';

const notice = z.strictObject({ from: z.string(), fleet: z.string(), event: deskEvent });
export type Notice = z.infer<typeof notice>;

const FIRST_WAIT_MS = 500;
const LONGEST_WAIT_MS = 30_000;

/** The line between the processes of one office. */
export interface Across {
  tell(notice: Omit<Notice, 'from'>): void;
  stop(): Promise<void>;
}

export interface AcrossOptions {
  readonly place: Place;
  /** Names this process. */
  readonly self: string;
  /** What another process told. */
  readonly heard: (notice: Notice) => void;
  /** The line was cut and stands again: anything may have been told meanwhile. */
  readonly missed: () => void;
  readonly warn: (words: string) => void;
}

/** Several processes may serve one database: what one tells its desks, the others hear by the database's own notices. Small and lossy: "ask again". */
export async function openAcross(o: AcrossOptions): Promise<Across> {
  const channel = `${o.place.schema}_desks`;
  let line: pg.Client | undefined;
  let telling: Promise<unknown> = Promise.resolve();
  let stopped = false;
  let wait = FIRST_WAIT_MS;
  let waiting: NodeJS.Timeout | undefined;

  const hear = (text: string | undefined) => {
    const told = notice.safeParse(JSON.parse(text ?? 'null'));
    if (told.success && told.data.from !== o.self) o.heard(told.data);
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
    // One after the other, as the driver wants it. Where the line is cut, the others ask everything again when theirs stands.
    tell: (told) => {
      const text = JSON.stringify({ from: o.self, ...told });
      telling = telling.then(() => line?.query('select pg_notify($1, $2)', [channel, text])).catch(() => undefined);
    },
    async stop() {
      stopped = true;
      clearTimeout(waiting);
      await line?.end();
    },
  };
}
