import { parseDate } from '@fillwright/core/units';
import { Link } from '@tanstack/react-router';
import { useDeferredValue } from 'react';
import { useDraft, useToday } from '../../data/index.ts';
import { Mark } from '../../look/marks.tsx';
import { useDifference } from '../../reach/use-reach.ts';
import { plural } from '../../show/amounts.ts';

const FIRST = 5;
const KINDS = { gained: 'Gained', lost: 'Lost', raised: '↑ Raised', lowered: '↓ Lowered' } as const;

/** Who gains and who loses by what the draft changes where this allowance decides, beside its fields while they are edited. */
export function Touched({ allowance }: { allowance: string }) {
  const { fleet, base } = useDraft();
  const today = parseDate(useToday()) ?? 0;
  const { answer, working, progress, stopped, stop, again } = useDifference(
    base,
    useDeferredValue(fleet),
    today,
    allowance,
  );
  const told = answer?.kind === 'change' ? answer.told : undefined;
  const more = told ? told.lines.length - FIRST + Object.values(told.more).reduce((a, b) => a + b, 0) : 0;
  return (
    <section className="stack" aria-labelledby="touched">
      <div className="spread">
        <h3 id="touched">Who is touched</h3>
        {working && progress && (
          <div className="row">
            <progress
              aria-label="How much has been compared"
              max={100}
              value={Math.floor((progress.done * 100) / Math.max(1, progress.of))}
            />
            <button type="button" className="button" onClick={stop}>
              Stop
            </button>
          </div>
        )}
        {stopped && (
          <button type="button" className="button" onClick={again}>
            Compare
          </button>
        )}
      </div>
      {answer?.kind === 'failed' && <Mark is="warning">{answer.sentence}</Mark>}
      <p className="small quiet" role="status">
        {stopped
          ? 'Stopped: who is touched has not been worked out.'
          : !told
            ? 'Comparing with the last release …'
            : told.lines.length === 0
              ? 'Nobody: where this allowance decides, nothing has changed since the last release.'
              : 'Since the last release, where this allowance decides:'}
      </p>
      {told && !stopped && told.lines.length > 0 && (
        <ul>
          {told.lines.slice(0, FIRST).map((l) => (
            <li key={l.key}>
              <strong>{KINDS[l.kind]}</strong>: {l.who.join('; ')}. {l.product} at {l.sites}: {l.before} → {l.after}
            </li>
          ))}
        </ul>
      )}
      {told && more > 0 && !stopped && (
        <p className="small">
          {plural(more, 'smaller group')} more on <Link to="/release">Release</Link>.
        </p>
      )}
    </section>
  );
}
