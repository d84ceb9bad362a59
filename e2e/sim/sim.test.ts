import { expect, it } from 'vitest';
import { FAULT_KINDS } from './faults.ts';
import { runWorld } from './world.ts';

/** Runs of three sites and four days; more behind FILLWRIGHT_SIM_RUNS. `npm run sim -- --seed N` replays one. */
const RUNS = Number(process.env.FILLWRIGHT_SIM_RUNS ?? 8);

it('replays to the letter', async () => {
  const one = { seed: 'letter', sites: 2, days: 1 };
  const first = await runWorld(one);
  expect(first.leaps).toBeGreaterThan(1_000);
  expect((await runWorld(one)).digest).toBe(first.digest);
  expect((await runWorld({ ...one, seed: 'other' })).digest).not.toBe(first.digest);
});

it('without faults every promise holds, to the pulse', async () => {
  const run = await runWorld({ seed: 'calm', faults: [] });
  expect(run.failure?.words).toBeUndefined();
  expect(run.fills).toBeGreaterThan(10);
});

it(`keeps its promises through ${RUNS * 12} site-days of faults, of every kind`, async () => {
  let fills = 0;
  const met = new Set<string>();
  for (let n = 0; n < RUNS; n++) {
    const seed = String(n);
    const run = await runWorld({ seed });
    expect(run.failure?.words, `seed ${seed}`).toBeUndefined();
    fills += run.fills;
    for (const pair of run.covered.keys()) met.add(pair.split('|')[0] ?? '');
  }
  expect(fills).toBeGreaterThan(RUNS * 5);
  expect(FAULT_KINDS.filter((kind) => !met.has(kind))).toEqual([]);
}, 900_000);
