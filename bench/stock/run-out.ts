import { type DayDemand, demandOf, pinball } from '@fillwright/core/stock';
import { randomFrom } from '@fillwright/sim';
import { mean, standardDeviation } from 'simple-statistics';

/** The forecast of demand against the mean of eight weeks, by pinball loss over simulated years: npx tsx bench/stock/run-out.ts [years]. */
const years = Number(process.argv[2] ?? 40);
const QUANTILES = [0.05, 0.5, 0.95] as const;
const NORMAL = { 0.05: -1.6448536269515, 0.5: 0, 0.95: 1.6448536269515 } as const;
const AHEAD = [1, 2, 3, 5, 7, 14];

/** A year of a yard: weekdays, a season, a slow drift, holidays, noise. Common practice, no source. */
function year(seed: number): DayDemand[] {
  const random = randomFrom(`demand/${seed}`);
  const level = random.between(800, 6_000);
  const season = random.between(0, 0.25);
  const noise = random.between(0.08, 0.35);
  const weekend = random.between(0.05, 0.9);
  let drift = 1;
  return Array.from({ length: 365 }, (_, i): DayDemand => {
    drift *= 1 + random.normal(0, 0.006);
    const weekday = i % 7;
    const part = weekday === 5 ? weekend : weekday === 6 ? weekend / 2 : 1 + 0.05 * (weekday % 3);
    const holiday = random.chance(0.02) ? 0.2 : 1;
    const litres =
      level *
      drift *
      part *
      holiday *
      (1 + season * Math.sin((2 * Math.PI * i) / 365)) *
      Math.max(0, 1 + random.normal(0, noise));
    return { weekday, litres };
  });
}

const loss = new Map<string, { ours: number; plain: number; point: number; below: number; n: number }>();
for (let seed = 0; seed < years; seed++) {
  const days = year(seed);
  for (let at = 120; at + 14 < days.length; at += 5) {
    const past = days.slice(Math.max(0, at - 120), at);
    const demand = demandOf(past);
    if (!demand) throw new Error('no demand');
    const eight = past.slice(-56).map((d) => d.litres);
    const [middle, spread] = [mean(eight), standardDeviation(eight)];
    for (const ahead of AHEAD) {
      let drawn = 0;
      for (let k = 0; k < ahead; k++) drawn += days[at + k]?.litres ?? 0;
      for (const q of QUANTILES) {
        const key = `${ahead} days, ${q}`;
        const sum = loss.get(key) ?? { ours: 0, plain: 0, point: 0, below: 0, n: 0 };
        const forecast = demand.within(ahead, q);
        sum.ours += pinball(q, forecast, drawn);
        // The mean of eight weeks with a normal spread is the fairer peer, and the mean alone the usual one.
        sum.plain += pinball(q, Math.max(0, middle * ahead + NORMAL[q] * spread * Math.sqrt(ahead)), drawn);
        sum.point += pinball(q, middle * ahead, drawn);
        sum.below += drawn <= forecast ? 1 : 0;
        sum.n++;
        loss.set(key, sum);
      }
    }
  }
}
console.log(
  '| ahead, quantile | loss against the mean of eight weeks | against it with a normal spread | days drawn at most the quantile |',
);
console.log('| --- | --- | --- | --- |');
const all = { ours: 0, plain: 0, point: 0 };
for (const [key, s] of loss) {
  for (const k of ['ours', 'plain', 'point'] as const) all[k] += s[k];
  const less = (peer: number) => `${(100 * (s.ours / peer - 1)).toFixed(0)} %`;
  console.log(`| ${key} | ${less(s.point)} | ${less(s.plain)} | ${((100 * s.below) / s.n).toFixed(1)} % |`);
}
console.log(
  `all: ${(100 * (all.ours / all.point - 1)).toFixed(1)} % and ${(100 * (all.ours / all.plain - 1)).toFixed(1)} %`,
);
