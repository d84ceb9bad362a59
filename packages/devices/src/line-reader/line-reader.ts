import type { Duplex } from 'node:stream';
import type { Reading } from '../card/reading.ts';
import type { YardClock, YardEvent, YardPort } from '../port.ts';
import { nameOf, type Opener, openStream } from '../stream.ts';
import { framesOf } from './frames.ts';
import type { WiredReader } from './wiring.ts';

export interface LineReader {
  readonly connected: boolean;
  close(): void;
}

export interface LineReaderOptions {
  readonly reader: WiredReader;
  readonly clock: YardClock;
  readonly heard: (reading: Reading) => void;
  /** The line came or went, in words. */
  readonly line?: (up: boolean, words: string) => void;
  readonly open?: Opener;
}

const CONNECT_MS = 3_000;
const FIRST_RETRY_MS = 1_000;
const LAST_RETRY_MS = 30_000;

/** Listens to a card reader on a line of its own, and dials again when the line breaks. It never writes to the reader. */
export function openLineReader(options: LineReaderOptions): LineReader {
  const { reader, clock, heard, open = openStream } = options;
  let stream: Duplex | undefined;
  let callOff: (() => void) | undefined;
  let closed = false;
  let retryMs = FIRST_RETRY_MS;

  function dial(): void {
    open(reader, CONNECT_MS).then(listen, (error) => lost(error instanceof Error ? error.message : String(error)));
  }

  function listen(opened: Duplex): void {
    if (closed) {
      opened.destroy();
      return;
    }
    stream = opened;
    retryMs = FIRST_RETRY_MS;
    options.line?.(true, nameOf(reader));
    const frames = framesOf(reader.form);
    let silence: (() => void) | undefined;
    const tell = (readings: readonly Reading[]) => {
      if (!closed) for (const r of readings) heard(r);
    };
    opened.on('data', (bytes: Uint8Array) => {
      silence?.();
      tell(frames.take(bytes));
      silence = clock.after(reader.silenceMs, () => tell(frames.silent()));
    });
    opened.on('error', () => {});
    opened.once('close', () => {
      silence?.();
      // Half a line before a break is no card.
      lost('the line broke');
    });
  }

  function lost(words: string): void {
    stream = undefined;
    if (closed) return;
    options.line?.(false, `${nameOf(reader)}: ${words}`);
    callOff = clock.after(retryMs, dial);
    retryMs = Math.min(LAST_RETRY_MS, retryMs * 2);
  }

  dial();
  return {
    get connected() {
      return stream !== undefined;
    },
    close() {
      closed = true;
      callOff?.();
      stream?.destroy();
    },
  };
}

export interface ReaderOptions {
  /** By terminal. */
  readonly readers: Readonly<Record<string, WiredReader>>;
  readonly clock: YardClock;
  readonly open?: Opener;
  readonly line?: (terminal: string, up: boolean, words: string) => void;
}

/** A yard with card readers beside it: the same port, and their cards among its events. */
export function withReaders(yard: YardPort, options: ReaderOptions): YardPort {
  const { readers, clock, open, line } = options;
  if (Object.keys(readers).length === 0) return yard;
  let opened: LineReader[] = [];
  return {
    ...yard,
    can: { ...yard.can, readers: true },
    start(listener) {
      opened = Object.entries(readers).map(([terminal, reader]) =>
        openLineReader({
          reader,
          clock,
          heard: (r) => listener(eventOf(terminal, r)),
          ...(open ? { open } : {}),
          ...(line ? { line: (up: boolean, words: string) => line(terminal, up, words) } : {}),
        }),
      );
      return yard.start(listener);
    },
    close() {
      for (const r of opened) r.close();
      return yard.close();
    },
  };
}

const eventOf = (terminal: string, r: Reading): YardEvent =>
  r.ok ? { kind: 'credential', terminal, number: r.number } : { kind: 'misread', terminal };
