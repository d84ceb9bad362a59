import { expect, it } from 'vitest';
import { FAULT_KINDS } from './faults.ts';
import { runWorld } from './world.ts';

/** Runs of three sites and four days, shared among the files beside this one so that they run at once; more behind FILLWRIGHT_SIM_RUNS. */
const RUNS = Number(process.env.FILLWRIGHT_SIM_RUNS ?? 8);
const SHARES = 2;
/** Of so many runs each kind of fault is sure to be among what struck. */
const ENOUGH = 8;

/** `share`: 0 or 1; the seeds that leave it over. `npm run sim -- --seed N` replays one. */
export function livesThroughItsDays(share: number): void {
  const seeds = Array.from({ length: RUNS }, (_, n) => n).filter((n) => n % SHARES === share);
  it(`keeps its promises through ${seeds.length * 12} site-days of faults of every kind, share ${share} of ${SHARES}`, async () => {
    let fills = 0;
    const met = new Set<string>();
    for (const n of seeds) {
      const run = await runWorld({ seed: String(n) });
      expect(run.failure?.words, `seed ${n}`).toBeUndefined();
      fills += run.fills;
      for (const pair of run.covered.keys()) met.add(pair.split('|')[0] ?? '');
    }
    expect(fills).toBeGreaterThan(seeds.length * 5);
    if (seeds.length >= ENOUGH) expect(FAULT_KINDS.filter((kind) => !met.has(kind))).toEqual([]);
  }, 3_600_000);
}
