/**
 * What line readers send, as card numbers. Layouts: track 2 as in ISO/IEC 7813, its check character (LRC) as in ISO/IEC 7811-2/-6 (rule
 * from memory, checked against worked values), 26-bit Wiegand as commonly published. A reading that is not whole is refused, never guessed.
 */
export type Reading =
  | { readonly ok: true; readonly number: string }
  | { readonly ok: false; readonly why: 'form' | 'check' | 'parity' | 'length' };

const no = (why: 'form' | 'check' | 'parity' | 'length'): Reading => ({ ok: false, why });

/** The check character over everything from start to end sentinel: the XOR of the four data bits of each, as a character. */
export function track2Check(text: string): string {
  let x = 0;
  for (const c of text) x ^= c.charCodeAt(0) - 0x30;
  return String.fromCharCode(0x30 + (x & 0xf));
}

/** ';number=data?' and, where the reader passes it on, the check character; at most 40 characters in all. */
export function readTrack2(text: string, checked: boolean): Reading {
  const line = text.replace(/[\r\n]+$/, '');
  if (line.length > 40) return no('length');
  const m = /^(;(\d{1,19})=([0-9:<>]*)\?)(.?)$/.exec(line);
  if (!m) return no('form');
  const [, body = '', number = '', , check = ''] = m;
  if (checked ? check === '' : check !== '') return no(checked ? 'check' : 'form');
  if (checked && track2Check(body) !== check) return no('check');
  return { ok: true, number };
}

/** 26 bits: even parity over the next 12, an 8-bit group, a 16-bit number, odd parity over the 12 before. Number: group, then five digits. */
export function readWiegand26(bits: string): Reading {
  if (!/^[01]*$/.test(bits)) return no('form');
  if (bits.length !== 26) return no('length');
  const ones = (from: number, to: number) => [...bits.slice(from, to)].filter((b) => b === '1').length;
  if (ones(0, 13) % 2 !== 0 || ones(13, 26) % 2 !== 1) return no('parity');
  const group = Number.parseInt(bits.slice(1, 9), 2);
  return { ok: true, number: `${group}${String(Number.parseInt(bits.slice(9, 25), 2)).padStart(5, '0')}` };
}

/** A line of 1 to 30 digits, with or without its line end. */
export function readPlain(text: string): Reading {
  const number = text.replace(/[\r\n]+$/, '');
  if (!/^\d*$/.test(number)) return no('form');
  return number.length >= 1 && number.length <= 30 ? { ok: true, number } : no('length');
}

/** A line from a reader that types like a keyboard: track 2 with or without its check character, or a plain number. */
export function readSwipe(text: string): Reading {
  if (!text.startsWith(';')) return readPlain(text);
  return readTrack2(text, !text.replace(/[\r\n]+$/, '').endsWith('?'));
}
