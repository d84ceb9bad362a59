import type { Fleet } from '@fillwright/core/fleet';
import {
  applyMappingByRows,
  guessMapping,
  hasOurSheets,
  type Imported,
  type Progress,
  type RawIntake,
  type RawSheet,
  type RosterMapping,
  toFleetByRows,
} from '@fillwright/intake';
import type { Staged } from '@fillwright/wire';
import type { AnswerTo, Look, Question } from './question.ts';

const SAMPLE_ROWS = 40;
const SAMPLES = 4;
const FIRST_EDITS = 200;
const MOST_PROBLEMS = 2000;

/** Turns the rows of one file into edits, saying how far it is. */
export function* work(question: Question): Generator<Progress, AnswerTo[Question['kind']]> {
  const raw: RawIntake = JSON.parse(question.raw);
  const mapping = question.kind === 'stage' ? mappingFor(raw) : question.mapping;
  const imported = yield* importOf(raw, mapping, question.base);
  return question.kind === 'take' ? imported.edits : lookAt(raw, mapping, imported);
}

/** The first sheet that has rows: a roster of the customer's own is one sheet. */
const rosterSheet = (raw: RawIntake): RawSheet | undefined =>
  raw.sheets.find((s) => s.rows.length > 1) ?? raw.sheets[0];

/** How a file is to be read: as a workbook of ours where a sheet has one of our names, else as a roster by a guessed mapping. */
function mappingFor(raw: RawIntake): RosterMapping | null {
  const sheet = rosterSheet(raw);
  if (hasOurSheets(raw.sheets) || !sheet) return null;
  const [head, ...rows] = sheet.rows.slice(0, SAMPLE_ROWS + 1);
  return guessMapping(
    head?.cells ?? [],
    rows.map((r) => r.cells),
  );
}

function* importOf(raw: RawIntake, mapping: RosterMapping | null, base: Fleet): Generator<Progress, Imported> {
  const sheet = rosterSheet(raw);
  const read =
    mapping !== null && sheet
      ? yield* applyMappingByRows(sheet, mapping, base)
      : yield* toFleetByRows(raw.sheets, base);
  return { ...read, problems: [...raw.problems, ...read.problems] };
}

const lookAt = (raw: RawIntake, mapping: RosterMapping | null, { edits, problems, counts }: Imported): Look => ({
  kind: mapping === null ? 'book' : 'roster',
  problems: problems.slice(0, MOST_PROBLEMS) as Staged['problems'],
  counts,
  edits: edits.slice(0, FIRST_EDITS),
  editCount: edits.length,
  mapping,
  columns: mapping === null ? [] : columnsOf(rosterSheet(raw)),
});

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
