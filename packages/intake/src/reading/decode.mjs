// @ts-check
import { Refusal } from './refusal.mjs';

/**
 * Bytes to text, chunk by chunk: UTF-8 with or without its mark, UTF-16 with its mark; anything else is refused rather than guessed.
 * @param {string} file for the message
 */
export function textDecoder(file) {
  /** @type {TextDecoder | undefined} */
  let decoder;
  /** @type {Uint8Array} */
  let head = new Uint8Array(0);
  const refuse = () => new Refusal('FW-109', { at: { in: file }, expected: 'UTF-8, or UTF-16 with a byte order mark' });

  /** @param {Uint8Array} bytes */
  const choose = (bytes) => {
    const [a, b, c] = bytes;
    if (a === 0xff && b === 0xfe) return { label: 'utf-16le', skip: 2 };
    if (a === 0xfe && b === 0xff) return { label: 'utf-16be', skip: 2 };
    return { label: 'utf-8', skip: a === 0xef && b === 0xbb && c === 0xbf ? 3 : 0 };
  };
  /** @param {Uint8Array} bytes @param {boolean} more */
  const run = (bytes, more) => {
    let rest = bytes;
    if (!decoder) {
      const { label, skip } = choose(bytes);
      decoder = new TextDecoder(label, { fatal: true, ignoreBOM: true });
      rest = bytes.subarray(skip);
    }
    let text;
    try {
      text = decoder.decode(rest, { stream: more });
    } catch {
      throw refuse();
    }
    // A zero character is UTF-16 without its mark, or no text at all.
    if (text.includes('\0')) throw refuse();
    return text;
  };

  return {
    /** @param {Uint8Array} chunk */
    write(chunk) {
      if (decoder) return run(chunk, true);
      const joined = new Uint8Array(head.length + chunk.length);
      joined.set(head);
      joined.set(chunk, head.length);
      head = joined;
      return head.length < 3 ? '' : run(head, true);
    },
    end() {
      return decoder ? run(new Uint8Array(0), false) : run(head, false);
    },
  };
}
