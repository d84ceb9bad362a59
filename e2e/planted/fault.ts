/** A fault put into the source on purpose, and the check that must notice it. */
export interface Planted {
  readonly id: string;
  /** What goes wrong, for the table. */
  readonly what: string;
  readonly file: string;
  /** Stands in the file exactly once. */
  readonly find: string;
  readonly replace: string;
  readonly test: string;
  /** Part of the name of the check that must fail. */
  readonly by: string;
}
