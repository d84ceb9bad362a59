import { describe, expect, it } from 'vitest';
import { readPlain, readSwipe, readTrack2, readWiegand26, track2Check } from './reading.ts';

// Worked by hand from the rule of ISO/IEC 7811 (XOR of the data bits from start to end sentinel).
const LINES = [
  [';1234567890=2512?', '<', '1234567890'],
  [';4000001234562=30121010000012345?', '9', '4000001234562'],
  [';7008881234567890=2712999?', '8', '7008881234567890'],
  [';601=99?', '>', '601'],
] as const;

describe('track 2', () => {
  it.each(LINES)('%s', (line, check, number) => {
    expect(track2Check(line)).toBe(check);
    expect(readTrack2(`${line}${check}\r\n`, true)).toEqual({ ok: true, number });
    expect(readTrack2(line, false)).toEqual({ ok: true, number });
    expect(readTrack2(line, true)).toMatchObject({ ok: false });
  });
  it('refuses any single digit that is read wrong', () => {
    const [line, check] = LINES[0];
    for (let i = 1; i <= 10; i++)
      for (const d of '0123456789')
        if (d !== line[i]) expect(readTrack2(line.slice(0, i) + d + line.slice(i + 1) + check, true).ok).toBe(false);
  });
  it('refuses half a line and one that is too long', () => {
    expect(readTrack2(';1234567890=25', false).ok).toBe(false);
    expect(readTrack2(`;1234567890=${'1'.repeat(40)}?`, false)).toEqual({ ok: false, why: 'length' });
  });
});

// Published examples of 26-bit encoders: group 90, number 324; group 227, number 57600.
describe('wiegand', () => {
  it.each([
    ['00101101000000001010001000', '9000324'],
    ['01110001111100001000000000', '22757600'],
    ['10111101110110010011011101', '12345678'],
  ])('%s', (bits, number) => {
    expect(readWiegand26(bits)).toEqual({ ok: true, number });
    for (let i = 0; i < 26; i++) {
      const wrong = bits.slice(0, i) + (bits[i] === '1' ? '0' : '1') + bits.slice(i + 1);
      expect(readWiegand26(wrong)).toEqual({ ok: false, why: 'parity' });
    }
  });
  it('refuses another length', () => expect(readWiegand26('0101')).toEqual({ ok: false, why: 'length' }));
});

it('takes a plain line of digits only', () => {
  expect(readPlain('700881\n')).toEqual({ ok: true, number: '700881' });
  expect(readPlain('70x')).toEqual({ ok: false, why: 'form' });
  expect(readPlain('')).toEqual({ ok: false, why: 'length' });
});

it('takes what a keyboard wedge types for track 2 or a plain number, and checks a check that is there', () => {
  expect(readSwipe(';1234567890=2512?')).toEqual({ ok: true, number: '1234567890' });
  expect(readSwipe(';1234567890=2512?<')).toEqual({ ok: true, number: '1234567890' });
  expect(readSwipe(';1234567890=2512?:')).toEqual({ ok: false, why: 'check' });
  expect(readSwipe('700881')).toEqual({ ok: true, number: '700881' });
  expect(readSwipe('%B700881')).toMatchObject({ ok: false });
});
