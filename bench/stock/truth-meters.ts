import { judgeDrifts } from '@fillwright/core/stock';
import { randomFrom } from '@fillwright/sim';
import { life, modelOf, percent } from './life.ts';

export const GAUGES = [
  ['0.3 mm, 30 days', { gaugeMm: 0.3 }],
  ['0.3 mm, 90 days', { gaugeMm: 0.3, days: 90 }],
  ['1 mm, 30 days', {}],
  ['1 mm, 90 days', { days: 90 }],
] as const;

type Gauge = (typeof GAUGES)[number];

const namedIn = (judged: ReturnType<typeof judgeDrifts>): string[] =>
  judged.hoses.filter((h) => h.verdict === 'drifts').map((h) => h.hose);

/** One meter of three drifts, or none: how often it is named, and how often another. */
export function singleRows(count: number, say: (line: string) => void): void {
  say(
    '| gauge and days; meters of three hoses | months | the right hose alone | the right one and another | a wrong one alone | none |',
  );
  say('| --- | --- | --- | --- | --- | --- |');
  for (const [gauge, part] of GAUGES)
    for (const [others, spread, size] of [
      ['one 0.5 % off either way, the others right', 0, 0.005],
      ['one 0.5 % off either way, the others by 0.1 % (one deviation)', 0.001, 0.005],
      ['none off', 0, 0],
    ] as const) {
      let [right, besides, wrong] = [0, 0, 0];
      for (let i = 0; i < count; i++) {
        const seed = `drift ${gauge} ${others}/${i}`;
        const random = randomFrom(seed);
        const which = i % 3;
        const off = i % 2 === 0 ? size : -size;
        const drifts = [0, 1, 2].map((k) => random.normal(0, 1) * spread + (k === which ? off : 0));
        const named = namedIn(judgeDrifts(modelOf(life(seed, { ...part, drifts }))));
        if (named.length === 0) continue;
        if (size === 0 || !named.includes(`h${which + 1}`)) wrong++;
        else if (named.length === 1) right++;
        else besides++;
      }
      say(
        `| ${gauge}; ${others} | ${count} | ${percent(right, count)} | ${percent(besides, count)} | ${percent(wrong, count)} | ${percent(count - right - besides - wrong, count)} |`,
      );
    }
}

/** Two meters drift at once, the others are right: which are named, and whether the pair is among those that it is said to be one of. */
export function pairRows(count: number, say: (line: string) => void, gauges: readonly Gauge[] = GAUGES): void {
  say(
    '| gauge and days; two meters drift | months | both named | one of them named, no other | a wrong one named | of these the right two listed beside it | none named, the right two listed | none |',
  );
  say('| --- | --- | --- | --- | --- | --- | --- | --- |');
  for (const [gauge, part] of gauges)
    for (const hoses of [3, 4])
      for (const [how, sizes] of [
        ['both 0.5 %, the same way', (i: number) => (i % 2 === 0 ? [0.005, 0.005] : [-0.005, -0.005])],
        ['both 0.5 %, one each way', (i: number) => (i % 2 === 0 ? [0.005, -0.005] : [-0.005, 0.005])],
        [
          '0.3 to 0.8 % each, either way',
          (_i: number, random: ReturnType<typeof randomFrom>) =>
            [0, 1].map(() => random.between(0.003, 0.008) * (random.chance(0.5) ? 1 : -1)),
        ],
      ] as const) {
        const found = { both: 0, one: 0, wrong: 0, beside: 0, listed: 0 };
        for (let i = 0; i < count; i++) {
          const seed = `two of ${hoses} ${gauge} ${how}/${i}`;
          const [a, b] = [i % hoses, (i + 1 + (Math.floor(i / hoses) % (hoses - 1))) % hoses];
          const size = sizes(i, randomFrom(seed));
          const drifts = Array.from({ length: hoses }, (_, k) => (k === a ? size[0] : k === b ? size[1] : 0) as number);
          const truth = [a, b].sort().map((k) => `h${k + 1}`);
          const judged = judgeDrifts(modelOf(life(seed, { ...part, drifts })));
          const named = namedIn(judged);
          const listed = judged.oneOf.some((o) => o.hoses.join() === truth.join());
          if (named.some((n) => !truth.includes(n))) {
            found.wrong++;
            if (listed) found.beside++;
          } else if (named.length === 2) found.both++;
          else if (named.length === 1) found.one++;
          else if (listed) found.listed++;
        }
        const none = count - found.both - found.one - found.wrong - found.listed;
        say(
          `| ${gauge}; two of ${hoses}, ${how} | ${count} | ${percent(found.both, count)} | ${percent(found.one, count)} | ${percent(found.wrong, count)} | ${found.beside} of ${found.wrong} | ${percent(found.listed, count)} | ${percent(none, count)} |`,
        );
      }
}
