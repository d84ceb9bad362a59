import { appendFileSync, existsSync, readFileSync, writeFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { coverageTable, neverMet, PLACES } from './coverage.ts';
import { FAULT_KINDS } from './faults.ts';
import { shrink } from './shrink.ts';
import { runWorld } from './world.ts';

/** `npm run sim`: one seed, told in full, or as many site-days as asked for, with where it stands kept in a file so that it can go on. */
const { values } = parseArgs({
  options: {
    seed: { type: 'string' },
    'site-days': { type: 'string', default: '200' },
    from: { type: 'string', default: '0' },
    /** Lines of JSON: which seeds are done. A run goes on behind the last; what all of them covered is kept beside it. */
    log: { type: 'string' },
    'for-minutes': { type: 'string' },
  },
});

if (values.seed !== undefined) {
  const once = await runWorld({ seed: values.seed });
  process.stdout.write(`${once.digest}\n${coverageTable(once.covered)}\n`);
  if (once.failure) {
    process.stdout.write(`${once.failure.last.join('\n')}\n\nBROKEN ${once.failure.words}\n`);
    const least = await shrink(once);
    process.stdout.write(`the fewest faults found that break it so:\n${JSON.stringify(least, null, 1)}\n`);
    process.exit(1);
  }
} else {
  const wanted = Number(values['site-days']);
  const kept = values.log === undefined ? undefined : `${values.log}.covered`;
  const covered = new Map<string, number>(
    kept !== undefined && existsSync(kept) ? (JSON.parse(readFileSync(kept, 'utf8')) as [string, number][]) : [],
  );
  const began = Date.now();
  const until = values['for-minutes'] === undefined ? Number.POSITIVE_INFINITY : Number(values['for-minutes']) * 60_000;
  let n = Number(values.from);
  let done = 0;
  if (values.log !== undefined && existsSync(values.log))
    for (const line of readFileSync(values.log, 'utf8').split('\n').filter(Boolean)) {
      const past = JSON.parse(line) as { n: number; siteDays: number };
      n = past.n + 1;
      done += past.siteDays;
    }
  const first = n;
  const broken: string[] = [];
  for (; done < wanted && Date.now() - began < until; n++) {
    const run = await runWorld({ seed: String(n) });
    done += run.siteDays;
    for (const [pair, times] of run.covered) covered.set(pair, (covered.get(pair) ?? 0) + times);
    if (run.failure) broken.push(`seed ${n}: ${run.failure.words}`);
    if (values.log !== undefined)
      appendFileSync(
        values.log,
        `${JSON.stringify({ n, siteDays: run.siteDays, digest: run.digest, broken: run.failure?.words })}\n`,
      );
    if (kept !== undefined) writeFileSync(kept, JSON.stringify([...covered]));
  }
  const never = neverMet(covered);
  process.stdout.write(`${coverageTable(covered)}\n`);
  process.stdout.write(
    `${never.length} of the pairs that can occur were never met${never.length > 12 ? '' : `: ${never.join(', ')}`}\n`,
  );
  process.stdout.write(`${done} site-days, ${broken.length} runs broken\n`);
  for (const line of broken) process.stdout.write(`${line}\n`);
  // A fault that never happened proves nothing; a short run may miss one.
  const empty = n - first < 5 ? [] : FAULT_KINDS.filter((kind) => !PLACES.some((p) => covered.has(`${kind}|${p}`)));
  for (const kind of empty) process.stdout.write(`NEVER HAPPENED ${kind}\n`);
  process.exit(broken.length + empty.length > 0 ? 1 : 0);
}
