import { join } from 'node:path';
import { expect, it } from 'vitest';
import { freshFolder, open, value } from './folder.ts';

const MANY = 100_000;

it('opens and lists 100,000 unacknowledged entries', () => {
  const path = join(freshFolder(), 'many.db');
  const journal = open(path);
  for (let from = 1; from <= MANY; from += 10_000)
    value(
      journal.appendAll(
        Array.from({ length: 10_000 }, (_, i) => ({ payload: `{"fill":${from + i},"pulses":123456}`, atMs: from + i })),
      ),
    );
  journal.close();
  const start = performance.now();
  const again = open(path);
  const opened = performance.now();
  let listed = 0;
  for (let after = 0; ; ) {
    const part = again.unacknowledged(after, 1000);
    if (part.length === 0) break;
    listed += part.length;
    after = part.at(-1)?.seq ?? after;
  }
  const done = performance.now();
  expect(again.refusal).toBeUndefined();
  expect(listed).toBe(MANY);
  console.log(`opened in ${Math.round(opened - start)} ms, listed in ${Math.round(done - opened)} ms`);
  again.close();
});
