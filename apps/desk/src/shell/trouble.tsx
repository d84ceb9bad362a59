import { ProblemError, problem } from '@fillwright/core/errors';
import { Link } from '@tanstack/react-router';
import { CallError } from '../data/hub.ts';
import { ProblemNote } from '../look/problem-note.tsx';

/** A page that failed: what happened, and the ways out. Nothing that was changed is lost. */
export function Trouble({ error, reset }: { error: unknown; reset: () => void }) {
  const said =
    error instanceof CallError || error instanceof ProblemError
      ? error.problem
      : problem('FW-911', { found: error instanceof Error ? error.message : String(error) });
  return (
    <div className="page">
      <h1>This page could not be shown</h1>
      <ProblemNote problem={said}>
        <button type="button" className="button" onClick={reset}>
          Try again
        </button>
      </ProblemNote>
      <p className="quiet">Every change that you made is kept.</p>
    </div>
  );
}

export function Lost() {
  return (
    <div className="page">
      <h1>No such page</h1>
      <p>
        Nothing is at this address. <Link to="/">Go to Today</Link>
      </p>
    </div>
  );
}
