import { expect, it } from 'vitest';
import { ticks } from './ticks.ts';

it('steps by 1, 2 or 5 from nothing to the most', () => {
  expect(ticks(100)).toEqual([0, 20, 40, 60, 80, 100]);
  expect(ticks(0.3)).toEqual([0, 0.1, 0.2, 0.3]);
  expect(ticks(7)).toEqual([0, 2, 4, 6]);
  expect(ticks(0)).toEqual([0]);
  expect(ticks(Number.NaN)).toEqual([0]);
});
it('never has more than it may', () => {
  for (let n = 1; n < 3000; n += 7) expect(ticks(n / 10).length).toBeLessThanOrEqual(6);
});
