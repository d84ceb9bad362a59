import { expect, it } from 'vitest';
import { runWorld } from './world.ts';

/** `npm run sim -- --seed N` replays a run. */
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
