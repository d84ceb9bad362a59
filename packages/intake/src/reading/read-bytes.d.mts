import type { ProblemCode } from '@fillwright/core/errors';

/** How much one import may hold; every number is a cap, and passing one is FW-102. */
export interface Limits {
  /** Of the file as it comes. */
  readonly fileBytes: number;
  /** Of all that an archive unpacks to, counted while it streams. */
  readonly unpackedBytes: number;
  /** Files inside an archive. */
  readonly entries: number;
  readonly sheets: number;
  /** Of one sheet. */
  readonly columns: number;
  /** Of all sheets together, rows without text not counted. */
  readonly rows: number;
  readonly cells: number;
  readonly characters: number;
  readonly cellCharacters: number;
}

export interface RawRow {
  /** As the spreadsheet shows it, from 1. */
  readonly number: number;
  /** Text by column; the first is column 1 (A). Trailing empty cells are left out. */
  readonly cells: readonly string[];
}

export interface ProblemDetail {
  readonly cause?: string;
  readonly mend?: string;
  readonly at?: { readonly in?: string; readonly row?: number; readonly field?: string };
  readonly found?: string;
  readonly expected?: string;
}

export type Parcel =
  | { readonly kind: 'sheet'; readonly name: string }
  | { readonly kind: 'rows'; readonly rows: RawRow[] }
  | { readonly kind: 'note'; readonly code: ProblemCode; readonly detail: ProblemDetail }
  | { readonly kind: 'refused'; readonly code: ProblemCode; readonly detail: ProblemDetail }
  | { readonly kind: 'done' };

export interface InputFile {
  readonly name: string;
  readonly bytes: Uint8Array;
}

/** Reads one file, or a folder's files, and hands on parcels; the last is `done` or `refused`. Never throws. */
export function readBytes(files: readonly InputFile[], limits: Limits, emit: (parcel: Parcel) => void): Promise<void>;
