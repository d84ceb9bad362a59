import { expect, it } from 'vitest';
import { PLANTED } from './faults.ts';
import { runPlanted, withFault } from './run.ts';

/** The nightly run plants all of them (docs/reference/planted-faults.md); here is a sample, of the quickest. */
const SAMPLE = ['pulse-more', 'batch-kept', 'trial-for-ever'];

it('every fault still has its place in the source', () => {
  for (const fault of PLANTED) expect(withFault(fault), fault.id).toContain(fault.replace);
  expect(new Set(PLANTED.map((f) => f.id)).size).toBe(PLANTED.length);
  expect(PLANTED.length).toBeGreaterThanOrEqual(30);
});

it('a sample of them is noticed', async () => {
  const outcomes = await runPlanted(PLANTED.filter((f) => SAMPLE.includes(f.id)));
  expect(Object.fromEntries([...outcomes].map(([id, o]) => [id, o.caught]))).toEqual(
    Object.fromEntries(SAMPLE.map((id) => [id, true])),
  );
});
