import type { Problem } from '@fillwright/core/errors';
import type { Fleet } from '@fillwright/core/fleet';
import {
  applyMapping,
  guessMapping,
  type Imported,
  type RawIntake,
  type RawSheet,
  type RosterMapping,
  toFleet,
} from '@fillwright/intake';
import type { Staged } from '@fillwright/wire';
import type { Waiting } from './shelf.ts';

const SAMPLE_ROWS = 40;
const SAMPLES = 4;
const FIRST_EDITS = 200;
const MOST_PROBLEMS = 2000;

/** The first sheet that has rows: a roster of the customer's own is one sheet. */
const rosterSheet = (raw: RawIntake): RawSheet | undefined =>
  raw.sheets.find((s) => s.rows.length > 1) ?? raw.sheets[0];

/** How a file is to be read: as a workbook of ours where a sheet has one of our names, else as a roster by a guessed mapping. */
export function mappingFor(raw: RawIntake, base: Fleet): RosterMapping | null {
  const unknown = toFleet(raw.sheets, base).problems.filter((p) => p.code === 'FW-103').length;
  const sheet = rosterSheet(raw);
  if (unknown < raw.sheets.length || !sheet) return null;
  const [head, ...rows] = sheet.rows;
  return guessMapping(
    head?.cells ?? [],
    rows.slice(0, SAMPLE_ROWS).map((r) => r.cells),
  );
}

/** What the file would change in this fleet. */
export function importOf(waiting: Waiting, base: Fleet): Imported & { readonly problems: readonly Problem[] } {
  const sheet = rosterSheet(waiting.raw);
  const read =
    waiting.mapping !== null && sheet ? applyMapping(sheet, waiting.mapping, base) : toFleet(waiting.raw.sheets, base);
  return { ...read, problems: [...waiting.raw.problems, ...read.problems] };
}

export function stagedReply(waiting: Waiting, base: Fleet): Staged {
  const { edits, problems, counts } = importOf(waiting, base);
  return {
    id: waiting.id,
    name: waiting.name,
    kind: waiting.mapping === null ? 'book' : 'roster',
    problems: problems.slice(0, MOST_PROBLEMS) as Staged['problems'],
    counts,
    edits: edits.slice(0, FIRST_EDITS),
    editCount: edits.length,
    mapping: waiting.mapping,
    columns: waiting.mapping === null ? [] : columnsOf(rosterSheet(waiting.raw)),
  };
}

const columnsOf = (sheet: RawSheet | undefined): Staged['columns'] =>
  (sheet?.rows[0]?.cells ?? []).map((header, i) => ({
    sheet: sheet?.name ?? '',
    header,
    samples: (sheet?.rows ?? [])
      .slice(1, SAMPLE_ROWS)
      .map((row) => row.cells[i] ?? '')
      .filter((text) => text !== '')
      .slice(0, SAMPLES),
  }));
