import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { putDown, toldBy, wrongIn } from './check.ts';
import { booksOf, deedsOf } from './deeds.ts';
import { builtChild, SKIPPED, STRACE, underStrace } from './strace.ts';

/**
 * The real process at the real kernel: strace kills it at its Nth call of a kind, or answers that call with an error, for every N that the run has.
 * FILLWRIGHT_FAULTS=all takes every N; otherwise some of them, spread over the run.
 */
const ALL = process.env.FILLWRIGHT_FAULTS === 'all';
const DEEDS = 30;
const AT_ONCE = 2;
/** What SQLite calls on the journal's files, and nothing else in the process does. */
const CALLS = ['pwrite64', 'fsync', 'ftruncate', 'unlink'] as const;
type Call = (typeof CALLS)[number];
const SOME: Readonly<Record<Call, number>> = { pwrite64: 7, fsync: 5, ftruncate: 2, unlink: 2 };

const deeds = deedsOf(DEEDS);
const books = booksOf(deeds);
let child = { file: '', remove: () => {} };
let folder = '';
beforeAll(async () => {
  folder = mkdtempSync(join(existsSync('/dev/shm') ? '/dev/shm' : tmpdir(), 'journal-faults-'));
  if (STRACE) child = await builtChild();
});
afterAll(() => {
  child.remove();
  rmSync(folder, { recursive: true, force: true });
});

interface Run {
  readonly code: number | null;
  readonly marks: readonly string[];
  /** Of the journal afterwards, by a process that nobody troubles. */
  readonly wrong: string | undefined;
}

let n = 0;
async function run(inject: readonly string[]): Promise<Run> {
  const at = join(folder, `run-${++n}`);
  putDown(at, new Map());
  const options = ['-qq', '-e', `trace=${CALLS.join(',')}`, ...inject];
  const ended = await underStrace(options, join(folder, `calls-${n}`), [child.file, at, String(DEEDS), 'stop']);
  const marks = readFileSync(join(at, 'marks'), 'utf8').trim().split('\n');
  const wrong = wrongIn(at, books, toldBy(marks));
  rmSync(at, { recursive: true, force: true });
  return { code: ended.code, marks, wrong };
}

/** How often each call comes in a run that nothing troubles. */
async function counted(): Promise<Record<Call, number>> {
  const at = join(folder, 'calm');
  putDown(at, new Map());
  const calls = ['-e', `trace=${CALLS.join(',')}`];
  const ended = await underStrace(calls, join(folder, 'calls-calm'), [child.file, at, String(DEEDS), 'stop']);
  expect(ended.code).toBe(0);
  const of = (call: Call) => ended.lines.filter((line) => new RegExp(`^\\d+ +${call}\\(`).test(line)).length;
  return Object.fromEntries(CALLS.map((call) => [call, of(call)])) as Record<Call, number>;
}

/** Every N of each call, or some of them: the first, the last and an even spread. */
async function places(): Promise<{ call: Call; when: number }[]> {
  const most = await counted();
  return CALLS.flatMap((call) => {
    const step = ALL ? 1 : Math.max(1, (most[call] - 1) / (SOME[call] - 1));
    const list = new Set<number>();
    for (let at = 1; at <= most[call] + 0.001; at += step) list.add(Math.round(at));
    return [...list].map((when) => ({ call, when }));
  });
}

async function sweep(
  injectionOf: (place: { call: Call; when: number }) => string,
  check: (run: Run, where: string) => void,
) {
  const todo = await places();
  const total = todo.length;
  const lanes = Array.from({ length: AT_ONCE }, async () => {
    for (let place = todo.shift(); place; place = todo.shift()) {
      const injection = injectionOf(place);
      check(await run(['-e', `inject=${injection}`]), injection);
    }
  });
  await Promise.all(lanes);
  return total;
}

describe.skipIf(!STRACE)(`a process under strace${SKIPPED}`, () => {
  it('killed at its Nth write, sync, truncation and removal, it has lost nothing that it reported', async () => {
    let killed = 0;
    const total = await sweep(
      ({ call, when }) => `${call}:signal=KILL:when=${when}`,
      ({ code, wrong }, where) => {
        expect(wrong, where).toBeUndefined();
        if (code !== 0) killed++;
      },
    );
    console.log(`killed ${killed} times at ${total} places`);
    expect(killed).toBe(total);
  }, 3_600_000);

  for (const [error, lasts] of [
    ['EIO', false],
    ['EIO', true],
    ['ENOSPC', true],
  ] as const)
    it(`${error} at its Nth call${lasts ? ' and ever after' : ''}: what it cannot write it refuses and says so, and what it reported is kept`, async () => {
      let refusals = 0;
      const total = await sweep(
        ({ call, when }) => `${call}:error=${error}:when=${when}${lasts ? '+' : ''}`,
        ({ code, marks, wrong }, where) => {
          expect(wrong, where).toBeUndefined();
          // It goes on to the end, refuses, or does not open: it never falls over.
          expect([0, 3, 4], `${where}: ${marks.slice(-3).join(', ')}`).toContain(code);
          const refused = marks.find((m) => m.startsWith('refused') || m.startsWith('unopened'));
          if (refused === undefined) return;
          refusals++;
          expect(refused, where).toContain('FW-601');
          if (refused.startsWith('refused')) expect(marks.at(-1), where).toBe('then FW-601 kept all');
        },
      );
      console.log(`${error}${lasts ? ' for good' : ''}: refused at ${refusals} of ${total} places`);
      expect(refusals).toBeGreaterThan(total / 3);
    }, 3_600_000);
});
