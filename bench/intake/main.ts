import { emptyFleet, type Fleet, newRow } from '@fillwright/core/fleet';
import { applyMapping, guessMapping, LIMITS, readIntake, TIME_LIMIT_MS, toFleet, toWorkbook } from '@fillwright/intake';
import { parse } from 'csv-parse/sync';
import readXlsx from 'read-excel-file/node';

/**
 * Reading a large workbook and a large CSV: the file as text in its thread, then as rows of a fleet, against a plain reading of the same
 * file by the library that stands behind it (csv-parse) or beside it (read-excel-file). Processor time of the whole process, threads too.
 * `npx tsx bench/intake/main.ts [rows]`, 100,000 unless told; ROUNDS=1 is shorter.
 */
const ROWS = Number(process.argv[2] ?? 100_000);
const ROUNDS = Number(process.env.ROUNDS ?? 3);
const EMPTY = emptyFleet({ name: 'Bench', units: 'us', currency: 'USD' });

/** The thread may take what it takes here: that it ends in time is told, not enforced. */
const PATIENT = { timeLimitMs: 600_000 };

const csvOf = (rows: number) =>
  Buffer.from(
    `Employee no,Name,Department,Card number,Active\r\n${Array.from(
      { length: rows },
      (_, i) => `${i + 1},"Quill, Ada ${i}",yard-${i % 40},${7_000_000 + i},yes`,
    ).join('\r\n')}\r\n`,
  );

function rosterOf(rows: number): Fleet {
  const drivers = new Map();
  for (let i = 0; i < rows; i++)
    drivers.set(
      `d${i}`,
      newRow('drivers', { id: `d${i}`, name: `Ada Quill ${i}`, number: String(i), department: `yard-${i % 40}` }),
    );
  return { ...EMPTY, drivers };
}

interface Took {
  readonly clock: number;
  readonly processor: number;
}
async function timed(work: () => unknown): Promise<Took> {
  const all: Took[] = [];
  for (let round = 0; round < ROUNDS; round++) {
    const [at, spent] = [performance.now(), process.cpuUsage()];
    await work();
    const { user, system } = process.cpuUsage(spent);
    all.push({ clock: (performance.now() - at) / 1000, processor: (user + system) / 1e6 });
  }
  return all.sort((a, b) => a.processor - b.processor)[Math.floor(all.length / 2)] as Took;
}
const say = (what: string, { clock, processor }: Took, than?: Took) =>
  console.log(
    `  ${what.padEnd(44)} ${processor.toFixed(2)} s of processor, ${clock.toFixed(2)} s by the clock${than ? `; ${(processor / than.processor).toFixed(1)} x the peer` : ''}`,
  );

function must<T>(done: { ok: true; value: T } | { ok: false; error: unknown }): T {
  if (done.ok) return done.value;
  throw new Error(JSON.stringify(done.error));
}

for (const rows of [ROWS / 4, ROWS]) {
  const csv = csvOf(rows);
  console.log(`${rows.toLocaleString('en')} rows, CSV of ${(csv.length / 1e6).toFixed(1)} MB`);
  const plainCsv = await timed(() => parse(csv));
  say('csv-parse, plain', plainCsv);
  say('read in its thread', await timed(async () => must(await readIntake(csv, 'roster.csv', PATIENT))), plainCsv);
  const raw = must(await readIntake(csv, 'roster.csv', PATIENT));
  const sheet = raw.sheets[0] as (typeof raw.sheets)[number];
  const mapping = guessMapping(
    sheet.rows[0]?.cells ?? [],
    sheet.rows.slice(1, 40).map((r) => r.cells),
  );
  if (!mapping) throw new Error('the roster was not known for one');
  const made = applyMapping(sheet, mapping, EMPTY);
  say(
    `its rows as ${made.edits.length} edits, ${made.problems.length} problems`,
    await timed(() => applyMapping(sheet, mapping, EMPTY)),
  );

  const fleet = rosterOf(rows);
  const book = Buffer.from(await toWorkbook(fleet));
  console.log(
    `${rows.toLocaleString('en')} rows, workbook of ${(book.length / 1e6).toFixed(1)} MB (at most ${LIMITS.fileBytes / 1e6})`,
  );
  const plainBook = await timed(() => readXlsx(book));
  say('read-excel-file, its first sheet', plainBook);
  const read = await readIntake(book, 'roster.xlsx', PATIENT);
  if (!read.ok) {
    console.log(`  refused: ${JSON.stringify(read.error)}`);
    continue;
  }
  const took = await timed(() => readIntake(book, 'roster.xlsx', PATIENT));
  say('read in its thread', took, plainBook);
  console.log(
    `  it may take ${TIME_LIMIT_MS / 1000} s by the clock: ${took.clock * 1000 <= TIME_LIMIT_MS ? 'in time' : 'NOT in time'}`,
  );
  const turned = toFleet(read.value.sheets, EMPTY);
  say(
    `its rows as ${turned.edits.length} edits, ${turned.problems.length} problems`,
    await timed(() => toFleet(read.value.sheets, EMPTY)),
  );
}
