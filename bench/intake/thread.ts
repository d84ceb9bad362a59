import { monitorEventLoopDelay } from 'node:perf_hooks';
import { emptyFleet } from '@fillwright/core/fleet';
import { guessMapping, type RawSheet } from '@fillwright/intake';
import { pino } from 'pino';
import type { Question } from '../../apps/hub/src/imports/question.ts';
import { openImportsThread } from '../../apps/hub/src/imports/thread.ts';
import { work } from '../../apps/hub/src/imports/work.ts';

/**
 * How long the office holds its breath while the rows of a roster become edits: the longest time in which its event loop did nothing else,
 * with the thread that it uses and, as the peer, without.
 * `npx tsx bench/intake/thread.ts [rows]`, 100,000 unless told. `MEMORY_MB=n`: the thread ends at n MB.
 */
const ROWS = Number(process.argv[2] ?? 100_000);
const ROUNDS = Number(process.env.ROUNDS ?? 3);
const memoryMb = process.env.MEMORY_MB ? Number(process.env.MEMORY_MB) : undefined;
const HEAD = ['Employee no', 'Name', 'Unit', 'Plate', 'Department', 'Card number'];
const rows = Array.from({ length: ROWS }, (_, i) => [
  ...[String(i + 1), `Ada Quill ${i}`, `Lorry ${i}`, `QX ${i}`, `yard-${i % 40}`, String(7_000_000 + i)],
]);
const sheet: RawSheet = { name: 'roster', rows: [HEAD, ...rows].map((cells, i) => ({ number: i + 1, cells })) };
const mapping = guessMapping(HEAD, rows.slice(0, 40));
const raw = JSON.stringify({ sheets: [sheet], problems: [] });
const base = emptyFleet({ name: 'Bench', units: 'us', currency: 'USD' });
const question: Extract<Question, { kind: 'map' }> = { kind: 'map', raw, mapping, base };

async function held(run: () => Promise<unknown>): Promise<{ longest: number; clock: number }> {
  const delay = monitorEventLoopDelay({ resolution: 5 });
  delay.enable();
  await new Promise((done) => setTimeout(done, 50));
  const at = performance.now();
  await run();
  const clock = performance.now() - at;
  // The hold ends with its measurement's next turn.
  await new Promise((done) => setTimeout(done, 50));
  delay.disable();
  return { longest: delay.max / 1e6, clock };
}
const median = (values: readonly number[]) => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? 0;

async function told(what: string, run: () => Promise<unknown>): Promise<number> {
  const all: { longest: number; clock: number }[] = [];
  for (let round = 0; round < ROUNDS; round++) all.push(await held(run));
  const longest = median(all.map((a) => a.longest));
  const clock = median(all.map((a) => a.clock));
  console.log(`${what}: held at most ${longest.toFixed(0)} ms, ${(clock / 1000).toFixed(2)} s by the clock`);
  return longest;
}

const thread = openImportsThread(pino({ enabled: false }), memoryMb);
const asked = await told(`${ROWS.toLocaleString('en')} rows in the thread`, async () => {
  const answer = await thread.ask<'map'>('map', async () => question);
  if (!answer.ok) throw new Error(JSON.stringify(answer.error));
});
await thread.stop();
const here = await told('the same in this thread', async () => {
  const steps = work(question);
  while (!steps.next().done);
});
console.log(`ratio ${(here / asked).toFixed(0)}`);
