import type { AnyRow } from '@fillwright/core/fleet';
import { pino } from 'pino';
import { partsBetween } from '../../apps/desk/src/data/findings-message.ts';
import { answering } from '../../apps/desk/src/reach/answer.ts';
import type { FromReach } from '../../apps/desk/src/reach/message.ts';
import { openReachThread } from '../../apps/hub/src/reach/thread.ts';
import { estate, later } from './estate.ts';

/**
 * What one look at two compared sites of a large estate costs: the first, and then one cell of the week after another at the desk, one driver
 * after another at the office. The desk's worker in milliseconds of processor, the office's thread by the wall, medians.
 */
const FIRST = Date.UTC(2026, 10, 25) / 86_400_000;
const TIMES = 15;
const size = { drivers: 20_000, vehicles: 15_000, sites: 400, hoses: 8, rules: 600 };
const before = estate(size);
const fleet = later(before);
const [first, second] = [...fleet.sites.keys()] as [string, string];
const ALL = { driver: null, vehicle: null, department: null, site: null, product: null };

const median = (times: number[]): string =>
  (times.sort((a, b) => a - b)[Math.floor(times.length / 2)] as number).toFixed(0);

async function processor(deed: () => Promise<unknown>): Promise<number> {
  const from = process.cpuUsage();
  await deed();
  const used = process.cpuUsage(from);
  return (used.user + used.system) / 1000;
}

async function desk(): Promise<void> {
  const take = answering();
  const heard: FromReach[] = [];
  const say = (answer: FromReach) => answer.kind !== 'progress' && heard.push(answer);
  for (const part of partsBetween(undefined, fleet)) await take({ settings: fleet.settings, part }, say);
  const pair = { kind: 'sites', of: 'draft', first, second } as const;
  const ask = (question: object) =>
    take({ settings: fleet.settings, ask: { today: FIRST, pair, within: ALL, ...question } as never }, say);
  const whole = await processor(() => ask({ kind: 'compare' }));
  const last = heard.at(-1);
  if (last?.kind !== 'compare') throw new Error('no comparison');
  const cells = last.compared.weeks.flatMap((w) => w.stretches.map((span) => ({ product: w.id, span })));
  const times: number[] = [];
  for (let n = 0; n < TIMES; n++) {
    const { product, span } = cells[Math.floor((n * cells.length) / TIMES)] as (typeof cells)[number];
    times.push(await processor(() => ask({ kind: 'behind', within: { ...ALL, product }, span })));
  }
  console.log(
    `desk: two sites the first time ${whole.toFixed(0)} ms, a cell of ${cells.length} then ${median(times)} ms`,
  );
}

async function office(): Promise<void> {
  const thread = openReachThread(pino({ enabled: false }));
  const drivers = [...fleet.drivers.values()] as AnyRow[];
  const asked = async (n: number) => {
    const within = { ...ALL, driver: (drivers[n * 97] as AnyRow).id };
    const from = performance.now();
    const answer = await thread.ask<'difference'>(`${n}`, async (held) => ({
      ...{ kind: 'difference', today: FIRST, within, week: true, holds: 'these' },
      two: held === 'these' ? null : { of: 'sites', fleet, first, second },
    }));
    if (!answer.ok) throw new Error(answer.error[0]?.code);
    return performance.now() - from;
  };
  const whole = await asked(0);
  const times: number[] = [];
  for (let n = 1; n <= TIMES; n++) times.push(await asked(n));
  console.log(
    `office: one driver at two sites the first time ${whole.toFixed(0)} ms, another then ${median(times)} ms`,
  );
  await thread.stop();
}

await desk();
if (process.argv[2] !== 'desk') await office();
