import { CATALOGUE, type ProblemCode } from './catalogue.ts';

/** Where in the user's data or request a problem lies, as far as it is known. */
export interface Place {
  /** Such as a file, a sheet or a table of the fleet. */
  readonly in?: string;
  /** Such as a row number (from 1) or a record's id. */
  readonly row?: string | number;
  /** Such as a column or a field. */
  readonly field?: string;
}

/** What went wrong, where, and how to mend it; the same shape from core to screen. */
export interface Problem {
  readonly code: ProblemCode;
  /** What is wrong, in a sentence. */
  readonly cause: string;
  /** What the person can do about it, in a sentence. */
  readonly mend: string;
  readonly at?: Place;
  readonly found?: string;
  readonly expected?: string;
}

export type Result<T, E = Problem> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly error: E };

export const ok = <T>(value: T): { readonly ok: true; readonly value: T } => ({ ok: true, value });
export const err = <E>(error: E): { readonly ok: false; readonly error: E } => ({ ok: false, error });

/** Builds a problem from its catalogue entry; `detail` makes the general cause particular. */
export function problem(
  code: ProblemCode,
  detail: { cause?: string; mend?: string; at?: Place; found?: string; expected?: string } = {},
): Problem {
  const entry = CATALOGUE[code];
  return { code, ...detail, cause: detail.cause ?? entry.cause, mend: detail.mend ?? entry.mend };
}

/** An unexpected failure that carries a problem across a throw; expected outcomes are results instead. */
export class ProblemError extends Error {
  readonly problem: Problem;
  constructor(problem: Problem) {
    super(`${problem.code} ${problem.cause} ${problem.mend}`);
    this.problem = problem;
  }
}
