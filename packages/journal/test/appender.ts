import { writeSync } from 'node:fs';
import { openJournal } from '../src/index.ts';

// Appends until it is killed, and prints a sequence number only when the journal has reported it durable.
const path = process.argv[2] ?? '';
const opened = openJournal({ path, box: 'box-1', newEpoch: () => 'epoch-1', checkpointPages: 30 });
if (!opened.ok) {
  writeSync(2, JSON.stringify(opened.error));
  process.exit(1);
}
const journal = opened.value;
for (;;) {
  const next = journal.last() + 1;
  const result = journal.setWith({ counter: String(next) }, `fill ${next} ${'v'.repeat(next % 200)}`, next);
  if (!result.ok) {
    writeSync(2, JSON.stringify(result.error));
    process.exit(1);
  }
  writeSync(1, `${result.value.seq}\n`);
}
