import fc from 'fast-check';
import { expect, test } from 'vitest';
import { planWaves } from './plan-waves.ts';

test('every site is in one wave, the first is the one wished for, and no wave is more than three times all before it', () => {
  const sites = fc.uniqueArray(fc.stringMatching(/^[a-z]{1,6}$/), { minLength: 1, maxLength: 60 });
  fc.assert(
    fc.property(sites, fc.integer({ min: 1, max: 60 }), (all, share) => {
      const first = all.slice(0, share);
      const waves = planWaves(all, { first, minutes: 30 });
      if (!waves.ok) throw new Error(waves.error.cause);
      expect(waves.value[0]).toEqual(first);
      expect(waves.value.flat().sort()).toEqual([...all].sort());
      let told = 0;
      for (const wave of waves.value) {
        if (told > 0) expect(wave.length).toBeLessThanOrEqual(3 * told);
        expect(wave.length).toBeGreaterThan(0);
        told += wave.length;
      }
    }),
  );
});

test('without a wish all at once; a first wave of nobody, or of strangers, is refused', () => {
  expect(planWaves(['a', 'b'], undefined)).toEqual({ ok: true, value: [['a', 'b']] });
  expect(planWaves(['a', 'b'], { first: [], minutes: 1 })).toMatchObject({ error: { code: 'FW-350' } });
  expect(planWaves(['a', 'b'], { first: ['c'], minutes: 1 })).toMatchObject({ error: { code: 'FW-350', found: 'c' } });
});
