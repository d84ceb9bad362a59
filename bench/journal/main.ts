import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Journal, openJournal } from '@fillwright/journal';

// Durable appends per second, and how long opening and listing take with 100,000 entries that nobody has acknowledged.
// Prints the median of several runs; run it on a quiet machine: npx tsx bench/journal/main.ts

const RUNS = 7;
const APPENDS = 500;
const MANY = 100_000;

const folder = mkdtempSync(join(tmpdir(), 'journal-bench-'));

function open(name: string): Journal {
  const opened = openJournal({ path: join(folder, name), box: 'box', newEpoch: () => 'epoch' });
  if (!opened.ok) throw new Error(opened.error.cause);
  return opened.value;
}

function must(result: { readonly ok: boolean }): void {
  if (!result.ok) throw new Error('the journal refused');
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] ?? Number.NaN;
}

function timed(work: () => void): number {
  const start = performance.now();
  work();
  return performance.now() - start;
}

const runs = (work: (run: number) => number): number => median(Array.from({ length: RUNS }, (_, run) => work(run)));

try {
  for (const bytes of [200, 2000]) {
    const payload = 'p'.repeat(bytes);
    const ms = runs((run) => {
      const journal = open(`append-${bytes}-${run}.db`);
      const took = timed(() => {
        for (let i = 0; i < APPENDS; i++) must(journal.append(payload, i));
      });
      journal.close();
      return took;
    });
    console.log(`${Math.round((APPENDS * 1000) / ms)} durable appends/s of ${bytes} bytes (median of ${RUNS})`);
  }
  const withState = runs((run) => {
    const journal = open(`state-${run}.db`);
    const took = timed(() => {
      for (let i = 0; i < APPENDS; i++) must(journal.setWith({ counter: String(i) }, 'p'.repeat(200), i));
    });
    journal.close();
    return took;
  });
  console.log(`${Math.round((APPENDS * 1000) / withState)} durable appends/s of 200 bytes with a state value`);

  const many = open('many.db');
  for (let from = 0; from < MANY; from += 10_000)
    must(many.appendAll(Array.from({ length: 10_000 }, (_, i) => ({ payload: 'p'.repeat(200), atMs: from + i }))));
  many.close();
  const opening = runs(() => {
    let journal: Journal | undefined;
    const took = timed(() => {
      journal = open('many.db');
    });
    journal?.close();
    return took;
  });
  console.log(`${Math.round(opening)} ms to open and check ${MANY} unacknowledged entries`);
  const journal = open('many.db');
  const listing = runs(() => timed(() => void journal.unacknowledged(0, MANY)));
  console.log(`${Math.round(listing)} ms to list them`);
  const verifying = runs(() => timed(() => must(journal.verify())));
  console.log(`${Math.round(verifying)} ms to verify the whole file`);
  journal.close();
} finally {
  rmSync(folder, { recursive: true, force: true });
}
