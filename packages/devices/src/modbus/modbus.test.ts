import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { crc16 } from '../../test/crc.ts';
import { goOn, offsetOf, resume } from './counting.ts';
import { registersOf, signedOf, unsignedOf } from './registers.ts';
import { spansOf } from './spans.ts';

describe('registers', () => {
  it('come back from both orders', () => {
    fc.assert(
      fc.property(fc.nat(0xffff_ffff), fc.constantFrom('high first' as const, 'low first' as const), (n, order) => {
        const two = registersOf(n, 32, order);
        expect(unsignedOf(two, order)).toBe(n);
        expect(signedOf(two, order)).toBe(n | 0);
        // An independent reading: the bytes as a machine would hold them.
        const view = new DataView(new ArrayBuffer(4));
        const [high, low] = order === 'high first' ? two : [...two].reverse();
        view.setUint16(0, high ?? 0);
        view.setUint16(2, low ?? 0);
        expect(view.getUint32(0)).toBe(n);
      }),
    );
  });
  it('refuse what is no register', () => {
    for (const wrong of [[], [1, 2, 3], [-1], [65_536], [0.5]])
      expect(() => unsignedOf(wrong, 'high first')).toThrow(RangeError);
    expect(() => registersOf(65_536, 16, 'high first')).toThrow(RangeError);
  });
});

describe('counting', () => {
  const setup = (bits: 16 | 32) => ({ bits, mostPer1000s: 33_334 });
  it('follows any run of pulses over any number of turns, and never falls', () => {
    fc.assert(
      fc.property(
        fc.constantFrom<16 | 32>(16, 32),
        fc.nat(0xffff),
        fc.array(fc.nat(600), { maxLength: 400 }),
        (bits, first, steps) => {
          const turn = 2 ** bits;
          let true_ = bits === 32 ? turn - 1 - first : first;
          let { counting } = resume(setup(bits), true_, undefined, 0);
          const start = true_;
          for (const step of steps) {
            true_ += step;
            // As long as so many pulses take at the fastest rate.
            const next = goOn(counting, true_ % turn, Math.ceil((step * 1_000_000) / 33_334));
            expect(next.doubt).toBeUndefined();
            counting = next.counting;
          }
          expect(counting.count - start).toBe(true_ - start);
        },
      ),
      { numRuns: 60 },
    );
  });
  it('adds nothing in doubt, whatever the register says', () => {
    fc.assert(
      fc.property(fc.nat(0xffff), fc.nat(0xffff), fc.nat(1_000), (a, b, ms) => {
        const { counting } = resume(setup(16), a, { count: 500_000, offset: undefined }, 0);
        const next = goOn(counting, b, ms);
        expect(next.counting.count).toBeGreaterThanOrEqual(500_000);
        expect(next.counting.count - 500_000).toBeLessThanOrEqual(Math.ceil((33.334 * ms * 1.25) / 1_000) + 4);
        if (next.doubt !== undefined) expect(next.counting.count).toBe(500_000);
        expect(next.counting.raw).toBe(b);
      }),
    );
  });
  it('takes up after a restart where the register stands, and not what could not have flowed', () => {
    fc.assert(
      fc.property(fc.nat(0xffff), fc.nat(2 ** 40), fc.nat(0xffff), (raw, count, moved) => {
        const before = resume(setup(16), raw, { count, offset: undefined }, 0).counting;
        const after = resume(setup(16), (raw + moved) % 65_536, { count, offset: offsetOf(before) }, 4_500);
        const most = Math.round(33.334 * 4.5 * 1.25) + 4;
        expect(after.counting.count - count).toBe(moved <= most ? moved : 0);
        expect(after.unexplained).toBe(moved <= most ? undefined : moved);
      }),
    );
  });
});

it('reads neighbours together, nothing that nobody asked for, and no counter in two halves', () => {
  const pieces = fc.array(fc.record({ start: fc.nat(60), length: fc.integer({ min: 1, max: 2 }) }), { minLength: 1 });
  fc.assert(
    fc.property(pieces, fc.integer({ min: 2, max: 20 }), (wanted, most) => {
      const spans = spansOf(wanted, most);
      for (const s of spans) expect(s.length).toBeLessThanOrEqual(most);
      for (const w of wanted)
        expect(spans.some((s) => w.start >= s.start && w.start + w.length <= s.start + s.length)).toBe(true);
      const asked = new Set(wanted.flatMap((w) => [w.start, w.start + w.length - 1]));
      for (const s of spans) for (let a = s.start; a < s.start + s.length; a++) expect(asked.has(a)).toBe(true);
    }),
  );
});

// The check value of CRC-16/MODBUS in the public catalogues of CRC algorithms.
it('tests serial frames with a right CRC', () => {
  expect(crc16(Buffer.from('123456789'))).toBe(0x4b37);
});
