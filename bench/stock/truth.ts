import { writeFileSync } from 'node:fs';
import { judge, judgeDrifts, type TankModel, tankModel } from '@fillwright/core/stock';
import { randomFrom, type TankLife, tankLife } from '@fillwright/sim';

/** Verdicts against the truth, over seeded months of a simulated tank: npx tsx bench/stock/truth.ts [months] [file] [months of the lesser rows] [months of the meters]. */
const months = Number(process.argv[2] ?? 1000);
const file = process.argv[3];
const LIMIT = 0.2 * 3.785411784;

/** Each month differs: how the tank stands, the meters within their class, the season. */
function life(seed: string, part: Partial<TankLife>): TankLife {
  const random = randomFrom(seed);
  const drift = () => random.normal(0, 0.0015);
  return {
    seed,
    days: 30,
    fallMm: 10 * random.whole(0, 6),
    swingC: random.between(1, 5),
    drifts: [drift(), drift(), drift()],
    ...part,
  };
}

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
const percent = (n: number, of: number) => `${((100 * n) / of).toFixed(1)} %`;
const model = (l: TankLife): TankModel => {
  const m = tankModel(tankLife(l));
  if (typeof m === 'string') throw new Error(`${l.seed}: ${m}`);
  return m;
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
say('| gauge and days; meters of three hoses | months | on the right hose | on a wrong one | on none |');
say('| --- | --- | --- | --- | --- |');
for (const [gauge, part] of [
  ['0.3 mm, 30 days', { gaugeMm: 0.3 }],
  ['0.3 mm, 90 days', { gaugeMm: 0.3, days: 90 }],
  ['1 mm, 30 days', {}],
  ['1 mm, 90 days', { days: 90 }],
] as const)
  for (const [others, spread, size] of [
    ['one 0.5 % off either way, the others right', 0, 0.005],
    ['one 0.5 % off either way, the others by 0.1 % (one deviation)', 0.001, 0.005],
    ['none off', 0, 0],
  ] as const) {
    let [right, wrong] = [0, 0];
    for (let i = 0; i < ofMeters; i++) {
      const seed = `drift ${gauge} ${others}/${i}`;
      const random = randomFrom(seed);
      const which = i % 3;
      const off = i % 2 === 0 ? size : -size;
      const drifts = [0, 1, 2].map((k) => random.normal(0, 1) * spread + (k === which ? off : 0));
      const found = judgeDrifts(model(life(seed, { ...part, drifts }))).find((d) => d.verdict === 'drifts');
      if (!found) continue;
      if (size > 0 && found.hose === `h${which + 1}`) right++;
      else wrong++;
    }
    say(
      `| ${gauge}; ${others} | ${ofMeters} | ${percent(right, ofMeters)} | ${percent(wrong, ofMeters)} | ${percent(ofMeters - right - wrong, ofMeters)} |`,
    );
  }
