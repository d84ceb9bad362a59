import type { Problem } from '@fillwright/core/errors';
import { EXIT, exitFor } from './exit.ts';

/** Where a command writes: text for people, or one JSON value for programs with --json. */
export interface Output {
  readonly json: boolean;
  line(text: string): void;
  table(head: readonly string[], rows: readonly (readonly string[])[]): void;
  /** The result as JSON; prints nothing without --json. */
  value(value: unknown): void;
  note(text: string): void;
}

export function outputTo(json: boolean, out: NodeJS.WritableStream, err: NodeJS.WritableStream): Output {
  return {
    json,
    line: (text) => {
      if (!json) out.write(`${text}\n`);
    },
    table: (head, rows) => {
      if (!json) out.write(tableText(head, rows));
    },
    value: (value) => {
      if (json) out.write(`${JSON.stringify(value, null, 2)}\n`);
    },
    note: (text) => {
      err.write(`${text}\n`);
    },
  };
}

/** Columns padded to their widest cell; plain text, so that it pastes and greps well. */
export function tableText(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const widths = head.map((h, i) => Math.max(h.length, ...rows.map((r) => (r[i] ?? '').length)));
  const line = (cells: readonly string[]) =>
    cells
      .map((c, i) => c.padEnd(widths[i] ?? 0))
      .join('  ')
      .trimEnd();
  return `${[line(head), widths.map((w) => '-'.repeat(w)).join('  '), ...rows.map(line)].join('\n')}\n`;
}

export function problemText(p: Problem): string {
  const place = [p.at?.in, p.at?.row === undefined ? undefined : `row ${p.at.row}`, p.at?.field]
    .filter(Boolean)
    .join(', ');
  const more = [
    p.found === undefined ? '' : `found ${p.found}`,
    p.expected === undefined ? '' : `expected ${p.expected}`,
  ].filter(Boolean);
  return `${p.code} ${place ? `${place}: ` : ''}${p.cause}${more.length > 0 ? ` (${more.join('; ')})` : ''} ${p.mend}`;
}

/** Ends a command with a problem: thrown, so that every command leaves by one door. */
export class Stopped extends Error {
  readonly code: number;
  readonly problems: readonly Problem[];
  constructor(problems: readonly Problem[], code?: number) {
    super(problems.map(problemText).join('\n'));
    this.problems = problems;
    this.code = code ?? (problems[0] ? exitFor(problems[0]) : EXIT.failed);
  }
}
