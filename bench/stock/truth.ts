import { writeFileSync } from 'node:fs';
import { judge } from '@fillwright/core/stock';
import type { TankLife } from '@fillwright/sim';
import { life, modelOf as model, percent } from './life.ts';
import { pairRows, singleRows } from './truth-meters.ts';

/** Verdicts against the truth, over seeded months of a simulated tank: npx tsx bench/stock/truth.ts [months] [file] [months of the lesser rows] [months of the meters]. */
const months = Number(process.argv[2] ?? 1000);
const file = process.argv[3];
const LIMIT = 0.2 * 3.785411784;

interface Row {
  readonly name: string;
  readonly count: number;
  readonly part: (seed: string) => Partial<TankLife>;
}
const only = (part: Partial<TankLife>) => () => part;
const few = Number(process.argv[4] ?? Math.max(1, Math.round(months / 5)));
const ofMeters = Number(process.argv[5] ?? few);
const leakRows: Row[] = [
  { name: '1 mm gauge', count: months, part: only({}) },
  { name: '0.3 mm gauge', count: few, part: only({ gaugeMm: 0.3 }) },
  { name: '3 mm gauge', count: few, part: only({ gaugeMm: 3 }) },
  { name: '1 mm, readings half an hour apart err alike (0.9 of it)', count: few, part: only({ gaugeMemory: 0.9 }) },
  { name: '1 mm, the same with half an hour apart 0.5 of it', count: few, part: only({ gaugeMemory: 0.5 }) },
  { name: '1 mm, the same with 0.98 of it', count: few, part: only({ gaugeMemory: 0.98 }) },
  {
    name: '1 mm that errs alike (0.9) and 0.5 mm of each reading’s own',
    count: few,
    part: only({ gaugeMemory: 0.9, gaugeOwnMm: 0.5 }),
  },
  {
    name: '1 mm that errs alike (0.9) and 1 mm of each reading’s own',
    count: few,
    part: only({ gaugeMemory: 0.9, gaugeOwnMm: 1 }),
  },
  { name: '1 mm, and 1 mm up and down with the hour of the day', count: few, part: only({ gaugeDailyMm: 1 }) },
  {
    name: '1 mm that errs alike (0.9), and 1 mm with the hour of the day',
    count: few,
    part: only({ gaugeMemory: 0.9, gaugeDailyMm: 1 }),
  },
  { name: '1 mm, bills wrong by 1 %', count: few, part: only({ deliveryError: 0.01 }) },
  { name: '1 mm, one hose', count: few, part: only({ drifts: [0.002] }) },
  { name: '1 mm, a third of the trade', count: few, part: only({ dailyLitres: 1_000 }) },
  { name: '8 mm gauge', count: few, part: only({ gaugeMm: 8 }) },
];

const lines: string[] = [];
const say = (line: string) => {
  lines.push(line);
  console.log(line);
  if (file) writeFileSync(file, `${lines.join('\n')}\n`);
};
say(
  '| months | each | tight: pass / inconclusive / fail | 0.2 gal/h lost: fail | truth within the 90 % interval | least rate seen, median gal/h | passed though it could not be seen |',
);
say('| --- | --- | --- | --- | --- | --- | --- |');
for (const { name, count, part } of leakRows.filter((r) => r.count > 0)) {
  const tight = { pass: 0, inconclusive: 0, fail: 0 };
  let [seen, inside, blind] = [0, 0, 0];
  const least: number[] = [];
  for (let i = 0; i < count; i++) {
    for (const leak of [0, LIMIT]) {
      const seed = `${name}/${i}`;
      const j = judge(model(life(seed, { ...part(seed), leakLitresPerHour: leak })));
      if (leak === 0) tight[j.verdict]++;
      else if (j.verdict === 'fail') seen++;
      if (Math.abs(j.rate - leak) <= j.margin) inside++;
      if (j.verdict === 'pass' && j.leastSeen > j.limit) blind++;
      least.push(j.leastSeen / 3.785411784);
    }
  }
  least.sort((a, b) => a - b);
  say(
    `| ${name} | ${count} + ${count} | ${percent(tight.pass, count)} / ${percent(tight.inconclusive, count)} / ${percent(tight.fail, count)} | ${percent(seen, count)} | ${percent(inside, 2 * count)} | ${least[least.length >> 1]?.toFixed(3)} | ${blind} |`,
  );
}

say('');
singleRows(ofMeters, say);
say('');
pairRows(ofMeters, say);
