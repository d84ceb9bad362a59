import fc from 'fast-check';
import { expect, it } from 'vitest';
import { track2Check } from '../card/reading.ts';
import { framesOf } from './frames.ts';

const bytes = (text: string) => Buffer.from(text, 'latin1');

it('reads the same cards however the bytes are cut', () => {
  const digits = fc.stringMatching(/^\d{1,19}$/);
  fc.assert(
    fc.property(
      fc.array(digits, { maxLength: 6 }),
      fc.array(fc.nat(200)),
      fc.constantFrom('\r\n', '\n', '\r'),
      (numbers, cuts, end) => {
        const all = bytes(numbers.map((n) => `;${n}=2712?${track2Check(`;${n}=2712?`)}${end}`).join(''));
        const frames = framesOf('track 2 with check');
        const at = [0, ...cuts.map((c) => c % (all.length + 1)).sort((a, b) => a - b), all.length];
        const got = at.slice(1).flatMap((to, i) => frames.take(all.subarray(at[i], to)));
        expect(got).toEqual(numbers.map((number) => ({ ok: true, number })));
        expect(frames.silent()).toEqual([]);
      },
    ),
  );
});

it('ends a line without an end by silence, and joins no card with the one before', () => {
  const frames = framesOf('plain');
  expect(frames.take(bytes('7008'))).toEqual([]);
  expect(frames.silent()).toEqual([{ ok: true, number: '7008' }]);
  expect(frames.take(bytes('81\r'))).toEqual([{ ok: true, number: '81' }]);
});

it('takes noise and floods for one misreading, and is well afterwards', () => {
  const frames = framesOf('wiegand 26');
  expect(frames.take(bytes(`${'1'.repeat(10_000)}\n`))).toEqual([{ ok: false, why: 'length' }]);
  expect(frames.take(Buffer.of(0xff, 0x00, 0x0a))).toEqual([{ ok: false, why: 'form' }]);
  expect(frames.take(bytes('00101101000000001010001000\n'))).toEqual([{ ok: true, number: '9000324' }]);
});
