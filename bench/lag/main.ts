import { closings } from '@fillwright/sim';

/**
 * How fills end at their limits, by the physics of packages/sim: the order to close goes out ahead by what the hose has learnt, against the
 * same hose when it goes out at the limit. Prints the distribution of pulses above the limit. `npx tsx bench/lag/main.ts [fills]`
 */
const GALLON = 3_785_411.784;
const fills = Number(process.argv[2] ?? 3_000);
const HOSES = [
  {
    name: '100/gal, 20 gal/min, lag 180 ± 25 ms, low flow 20 %',
    gpm: 20,
    lagMs: 180,
    dev: 25,
    low: 0.2,
    pulses: 100_000,
  },
  {
    name: '1,000/gal, 20 gal/min, lag 180 ± 25 ms, low flow 20 %',
    gpm: 20,
    lagMs: 180,
    dev: 25,
    low: 0.2,
    pulses: 1_000_000,
  },
  {
    name: '1,000/gal, 20 gal/min, lag 450 ± 120 ms, low flow 20 %',
    gpm: 20,
    lagMs: 450,
    dev: 120,
    low: 0.2,
    pulses: 1_000_000,
  },
  { name: '100/gal, 40 gal/min, lag 300 ± 40 ms, no low flow', gpm: 40, lagMs: 300, dev: 40, low: 1, pulses: 100_000 },
];

function line(values: readonly number[]): string {
  const sorted = [...values].sort((a, b) => a - b);
  const at = (share: number) => sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? 0;
  const above = values.filter((v) => v > 0).length;
  return `least ${sorted[0]}  p1 ${at(0.01)}  p50 ${at(0.5)}  p99 ${at(0.99)}  most ${sorted.at(-1)}  above the limit ${((100 * above) / values.length).toFixed(2)} %`;
}

for (const h of HOSES) {
  const options = {
    seed: 'bench',
    fills,
    hose: { flowUlPerMin: Math.round(h.gpm * GALLON), lagMs: h.lagMs, lagDeviationMs: h.dev, lowShare: h.low },
    pulsesPerMeasure: h.pulses,
    unit: 'gal' as const,
    leastUl: 8_000_000,
    mostUl: 20_000_000,
    handShare: 0.03,
  };
  const learnt = closings(options).filter((c) => c.lag.known === 'learnt');
  const beyond = learnt.filter((c) => c.over > 1 + c.lag.spread).length;
  console.log(h.name);
  console.log(
    `  learnt    ${line(learnt.map((c) => c.over))}  beyond one pulse and the spread: ${beyond} of ${learnt.length}`,
  );
  console.log(`  at limit  ${line(closings({ ...options, learn: false }).map((c) => c.over))}`);
}
