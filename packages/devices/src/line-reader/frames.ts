import { type Reading, readPlain, readTrack2, readWiegand26 } from '../card/reading.ts';
import type { WiredReader } from './wiring.ts';

/** More bytes than any card without an end: noise. */
const MOST_BYTES = 128;

export interface Frames {
  /** Takes what came and gives the lines that are whole. */
  take(bytes: Uint8Array): Reading[];
  /** The reader was silent: what waits is a line. */
  silent(): Reading[];
}

/**
 * Cuts a reader's bytes into lines and reads them. A line ends with CR or LF; one that does not ends when the reader falls silent. What is
 * not whole and correct is a misreading, never a guess, and bytes that are no text are noise.
 */
export function framesOf(form: WiredReader['form']): Frames {
  let waiting = '';
  let flooded = false;
  const read = (line: string): Reading => {
    switch (form) {
      case 'track 2':
        return readTrack2(line, false);
      case 'track 2 with check':
        return readTrack2(line, true);
      case 'wiegand 26':
        return readWiegand26(line);
      default:
        return readPlain(line);
    }
  };
  const end = (): Reading[] => {
    const line = waiting;
    const noise = flooded;
    waiting = '';
    flooded = false;
    if (noise) return [{ ok: false, why: 'length' }];
    return line === '' ? [] : [read(line)];
  };
  return {
    take(bytes) {
      const readings: Reading[] = [];
      for (const b of bytes) {
        if (b === 0x0d || b === 0x0a) readings.push(...end());
        else if (waiting.length >= MOST_BYTES) flooded = true;
        else waiting += b >= 0x20 && b < 0x7f ? String.fromCharCode(b) : '\ufffd';
      }
      return readings;
    },
    silent: end,
  };
}
