// @ts-check
/**
 * @typedef {{ cause?: string, mend?: string, at?: { in?: string, row?: number, field?: string }, found?: string, expected?: string }} Detail
 */

/** Ends a reading with one problem of the catalogue; it crosses the thread as plain data. */
export class Refusal extends Error {
  /**
   * @param {import('@fillwright/core/errors').ProblemCode} code
   * @param {Detail} [detail]
   */
  constructor(code, detail = {}) {
    super(code);
    this.code = code;
    this.detail = detail;
  }
}

/** @param {string} what @param {number} most @param {Detail['at']} [at] */
export const tooMuch = (what, most, at) =>
  new Refusal('FW-102', {
    found: `more than ${most} ${what}`,
    expected: `at most ${most} ${what}`,
    ...(at ? { at } : {}),
  });
