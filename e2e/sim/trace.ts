import { createHash, type Hash } from 'node:crypto';

/** Everything that happens, as lines: their digest says whether two runs are the same, the last ones how it came to a failure. */
export interface Trace {
  note(what: string, more?: string): void;
  message(to: string, topic: string, payload: string): void;
  digest(): string;
  last(): readonly string[];
  readonly lines: number;
}

const KEPT = 400;

export function openTrace(now: () => number): Trace {
  const hash: Hash = createHash('sha256');
  const ring: string[] = [];
  let lines = 0;
  let unhashed = '';
  const take = () => {
    hash.update(unhashed);
    unhashed = '';
  };
  const add = (line: string) => {
    unhashed += `${line}\n`;
    if (unhashed.length > 10_000) take();
    ring[lines++ % KEPT] = line;
  };
  return {
    note: (what, more = '') => add(`${now()} ${what} ${more}`),
    // Keys, seals and signatures are drawn from true chance: what carries them goes by its length.
    message: (to, topic, payload) =>
      add(`${now()} ${to} hears ${topic} ${/\/(bundle|pins|stop|time)$/.test(topic) ? payload.length : payload}`),
    digest() {
      take();
      return hash.copy().digest('hex');
    },
    last: () =>
      Array.from({ length: Math.min(lines, KEPT) }, (_, i) => ring[(Math.max(0, lines - KEPT) + i) % KEPT] as string),
    get lines() {
      return lines;
    },
  };
}
