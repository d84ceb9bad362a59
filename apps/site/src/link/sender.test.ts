import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { openJournal } from '@fillwright/journal';
import { virtualClock } from '@fillwright/sim';
import { expect, onTestFinished, test } from 'vitest';
import { openSender } from './sender.ts';

test('who carries the journal by hand gets what the office lacks, told what is gone, then what it has not acknowledged', () => {
  const folder = mkdtempSync(join(tmpdir(), 'fillwright-sender-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  const opened = openJournal({ path: join(folder, 'journal.db'), box: 'box-1', newEpoch: () => 'e' });
  if (!opened.ok) throw new Error(opened.error.cause);
  const journal = opened.value;
  onTestFinished(() => journal.close());
  for (let n = 1; n <= 1_000; n++) journal.append(`{"n":${n}}`, n);
  journal.acknowledge(700);
  journal.trim(100, Number.MAX_SAFE_INTEGER);
  const { now, after } = virtualClock(0);
  const sender = openSender({
    journal,
    clock: { pace: 1, now, monotonic: now, after },
    random: () => 0.5,
    say: () => false,
    sayLost: () => false,
  });
  onTestFinished(() => sender.close());
  const carried = (most: number, again: Parameters<typeof sender.carry>[1]) => {
    const { batches, ...rest } = sender.carry(most, again);
    return { seqs: batches.flatMap((b) => b.entries.map((e) => e.seq)), ...rest };
  };
  const range = (from: number, to: number) => Array.from({ length: to - from + 1 }, (_, i) => from + i);
  expect(carried(50_000, [])).toEqual({ seqs: range(701, 1_000), lost: [], more: false });
  const lacked = [{ epoch: 'e', after: 40, to: 650 }];
  const lost = [{ epoch: 'e', from: 41, to: 100 }];
  expect(carried(50_000, lacked)).toEqual({ seqs: [...range(101, 650), ...range(701, 1_000)], lost, more: false });
  expect(carried(600, lacked)).toEqual({ seqs: [...range(101, 650), ...range(701, 750)], lost, more: true });
  // All that it lacks is gone; another journal's gap is none of this box's.
  expect(carried(10, [{ epoch: 'e', after: 0, to: 90 }])).toEqual({
    seqs: range(701, 710),
    lost: [{ epoch: 'e', from: 1, to: 90 }],
    more: true,
  });
  expect(carried(300, [{ epoch: 'other', after: 0, to: 90 }])).toEqual({
    seqs: range(701, 1_000),
    lost: [],
    more: false,
  });
});
