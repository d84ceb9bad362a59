import { type Problem, problem, type Result } from '@fillwright/core/errors';
import type { VolumeUnit } from '@fillwright/core/units';
import { parseVolume } from '@fillwright/core/units';
import { instantsOf, UTC, zoneKnown } from '../../show/site-time.ts';
import { type Bill, type BillForm, billOf } from './bill.ts';

export type MoveKind = 'delivery' | 'dip' | 'correction';

/** What somebody writes into a tank's book, as typed. */
export interface MoveForm {
  readonly kind: MoveKind;
  readonly volume: string;
  readonly date: string;
  readonly time: string;
  readonly note: string;
}

export interface Move {
  readonly kind: MoveKind;
  /** Microlitres; a correction may be below zero. */
  readonly volume: number;
  readonly at: number;
  readonly note: string;
}

const wrong = (field: string, expected: string): { ok: false; error: Problem } => ({
  ok: false,
  error: problem('FW-201', { at: { field }, expected }),
});

/** The move that is meant, or what is wrong with it. In the hour that occurs twice the first is meant. */
export function moveOf(form: MoveForm, unit: VolumeUnit, zone: string, now: number): Result<Move> {
  const name = unit === 'gal' ? 'gallons' : 'litres';
  const volume = parseVolume(form.volume, unit);
  if (volume === undefined) return wrong('volume', `${name} with at most three decimals`);
  if (form.kind === 'delivery' && volume <= 0) return wrong('volume', 'more than nothing');
  if (form.kind === 'dip' && volume < 0) return wrong('volume', 'nothing or more');
  if (form.kind === 'correction' && volume === 0)
    return wrong('volume', `${name} to add, or with a minus to take away`);
  const at = instantsOf(form.date, form.time, zoneKnown(zone) ?? UTC)?.[0];
  if (at === undefined) return wrong('at', 'a date and a time that occur at the site');
  if (at > now) return wrong('at', 'a moment that is not in the future');
  const note = form.note.trim();
  if (form.kind === 'correction' && note === '') return wrong('note', 'why the book is corrected');
  return { ok: true, value: { kind: form.kind, volume, at, note } };
}

/** As much of a document's number as a delivery holds. */
const MOST_DOCUMENT = 100;

/** A move that can be written; a delivery with what its bill says. */
export interface Writing {
  readonly move: Move;
  readonly delivery: (Bill & { readonly at: number; readonly gross: number; readonly document: string }) | undefined;
}

/** What is to be written, or the first thing that is wrong with the form or, for a delivery, with its bill. */
export function writingOf(
  form: MoveForm,
  bill: BillForm,
  unit: VolumeUnit,
  zone: string,
  now: number,
): Result<Writing> {
  const read = moveOf(form, unit, zone, now);
  if (!read.ok) return read;
  const move = read.value;
  if (move.kind !== 'delivery') return { ok: true, value: { move, delivery: undefined } };
  const said = billOf(bill, move.volume, unit);
  if (!said.ok) return said;
  const { at, volume: gross, note: document } = move;
  if (document.length > MOST_DOCUMENT) return wrong('note', `at most ${MOST_DOCUMENT} characters for a delivery`);
  return { ok: true, value: { move, delivery: { at, gross, document, ...said.value } } };
}

/** What to mind about a move that is allowed, in words; undefined where nothing is odd. */
export function oddity(
  move: Move,
  tank: { readonly capacity: number; readonly safeFill: number; readonly book: number },
): string | undefined {
  const safe = Math.floor((tank.capacity / 100) * tank.safeFill);
  if (move.kind === 'dip' && move.volume > tank.capacity)
    return 'The dip is more than the tank holds. Check the figure and the unit.';
  if (move.kind === 'delivery' && tank.book + move.volume > safe)
    return `By the book this fills the tank past its safe fill of ${tank.safeFill} %. Check the figure, the book and the tank.`;
  if (move.kind === 'correction' && tank.book + move.volume < 0)
    return 'By the book the tank then holds less than nothing. Check the figure.';
  return undefined;
}
