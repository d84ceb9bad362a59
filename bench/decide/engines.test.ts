import { describe, expect, it } from 'vitest';
import { casl, cedarEngine, fillwright } from './engines.ts';
import { workload } from './workload.ts';

/** The same 10,000 requests to two policy engines by others: Cedar (its reference authoriser, in wasm) and CASL. */
describe('decide against other engines', () => {
  it('agrees with Cedar and CASL on 10,000 requests', async () => {
    const w = workload({ drivers: 500, groups: 40, sites: 10, hoses: 8, asks: 10_000 }, 11);
    const [mine, one, two] = [fillwright(w), cedarEngine(w), casl(w)];
    let approved = 0;
    for (const ask of w.asks) {
      const answer = mine.answer(ask);
      if (answer) approved++;
      expect(await one.answer(ask)).toBe(answer);
      expect(await two.answer(ask)).toBe(answer);
    }
    expect(approved).toBeGreaterThan(1000);
    expect(approved).toBeLessThan(9000);
  });
});
