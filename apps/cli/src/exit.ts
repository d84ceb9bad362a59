import type { Problem } from '@fillwright/core/errors';

/** Exit codes, documented in docs/reference/cli.md and in `fillwright --help`. */
export const EXIT = {
  done: 0,
  /** Something could not be done; the problem is on standard error. */
  failed: 1,
  /** The command line itself is wrong. */
  usage: 2,
  /** Done, but there is something that a person must look at: error findings, rows that could not be taken, a declined bench. */
  look: 3,
  /** Not signed in, or the role does not allow it. */
  access: 4,
  /** No office answers. */
  unreachable: 5,
} as const;

export function exitFor(problem: Problem): number {
  if (problem.code === 'FW-905') return EXIT.unreachable;
  if (problem.code.startsWith('FW-4')) return EXIT.access;
  if (problem.code === 'FW-902') return EXIT.usage;
  return EXIT.failed;
}
