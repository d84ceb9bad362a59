import { pino } from 'pino';
import { openReachThread } from '../../apps/hub/src/reach/thread.ts';
import { estate, later } from './estate.ts';

/**
 * How much memory the hub's thread needs for the difference of two large fleets: the least limit, of those tried, under which it answers. The
 * fleets lie in the thread as copies, beside both tables.
 */
const FIRST = Date.UTC(2026, 10, 25) / 86_400_000;
const size = { drivers: 20_000, vehicles: 15_000, sites: 400, hoses: 8, rules: 600 };
const before = estate(size);
const after = later(before);
const limits = process.argv.slice(2).map(Number);
for (const memoryMb of limits.length > 0 ? limits : [256, 384, 512, 768, 1024]) {
  const thread = openReachThread(pino({ enabled: false }), memoryMb);
  const from = performance.now();
  let progress = 0;
  const answer = await thread.ask<'difference'>(
    'difference',
    async () => ({
      ...{ kind: 'difference', within: null, week: true, today: FIRST, holds: 'these' },
      two: { of: 'fleets', before, after },
    }),
    { say: () => progress++ },
  );
  const said = answer.ok ? `answers, ${progress} times progress` : `ends (${answer.error[0]?.code})`;
  console.log(`${memoryMb} MB: ${said}, ${((performance.now() - from) / 1000).toFixed(1)} s by the wall`);
  await thread.stop();
}
console.log(
  `rss at most ${(process.resourceUsage().maxRSS / 1000).toFixed(0)} MB, the fleets of the main thread included`,
);
