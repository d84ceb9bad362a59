import type { Problem } from '@fillwright/core/errors';
import type { ReactNode } from 'react';
import { Mark } from './marks.tsx';

/** The shape of a problem as it comes from core or over the wire. */
export interface ProblemLike {
  readonly code: string;
  readonly cause: string;
  readonly mend: string;
  readonly at?: Problem['at'] | Readonly<Record<string, unknown>> | undefined;
  readonly found?: string | undefined;
  readonly expected?: string | undefined;
}

const whereOf = (at: ProblemLike['at']): string =>
  at
    ? Object.values(at)
        .filter((part) => part !== undefined)
        .join(', ')
    : '';

/** A problem in words: what, where, how to mend it. */
export function ProblemNote({ problem, children }: { problem: ProblemLike; children?: ReactNode }) {
  const where = whereOf(problem.at);
  return (
    <div className="notice error" role="alert">
      <div>
        <Mark is="error">{problem.cause}</Mark>
      </div>
      <div>{problem.mend}</div>
      {(where || problem.found || problem.expected) && (
        <div className="small quiet">
          {where && <>Where: {where}. </>}
          {problem.found && <>Found: {problem.found}. </>}
          {problem.expected && <>Expected: {problem.expected}. </>}
        </div>
      )}
      <div className="small quiet">{problem.code}</div>
      {children && <div className="row">{children}</div>}
    </div>
  );
}
