import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { PLANTED } from './faults.ts';
import { type Outcome, ROOT, runPlanted } from './run.ts';
import { tableOf } from './table.ts';

/**
 * Plants faults into the source, one at a time, and says which check noticed each. `npx tsx e2e/planted/main.ts` for all of them, which writes the
 * table in docs/reference; with names, those alone. Ends with 1 when one was not noticed.
 */
const wanted = process.argv.slice(2);
const faults = wanted.length === 0 ? PLANTED : PLANTED.filter((f) => wanted.includes(f.id));
if (faults.length === 0) throw new RangeError(`no such fault; there are ${PLANTED.map((f) => f.id).join(', ')}`);

const outcomes = new Map<string, Outcome>();
// A few at a time: each has a module graph of its own, and a small machine has little memory.
for (let i = 0; i < faults.length; i += 6)
  for (const [id, outcome] of await runPlanted(faults.slice(i, i + 6))) {
    outcomes.set(id, outcome);
    const found = outcome.caught ? 'noticed' : `NOT NOTICED ${outcome.planted ? '' : '(never loaded) '}`;
    process.stdout.write(`${id}: ${found} ${outcome.failed.join('; ')}\n`);
  }

const missed = faults.filter((f) => !outcomes.get(f.id)?.caught);
if (wanted.length === 0) {
  const noticed = new Map([...outcomes].map(([id, { caught }]) => [id, caught]));
  writeFileSync(join(ROOT, 'docs/reference/planted-faults.md'), tableOf(noticed));
}
process.stdout.write(`${faults.length - missed.length} of ${faults.length} noticed\n`);
process.exit(missed.length > 0 ? 1 : 0);
