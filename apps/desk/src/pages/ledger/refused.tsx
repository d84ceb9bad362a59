import { useDeferredValue, useState } from 'react';
import { useDraft } from '../../data/draft.ts';
import { useAsk } from '../../data/hub.ts';
import { useWhere } from '../../data/where.ts';
import { ProblemNote } from '../../look/problem-note.tsx';
import { plural } from '../../show/amounts.ts';
import { RefusalEntry } from '../../show/refusal-entry.tsx';
import { wishOf } from './filter.ts';
import { Filters } from './filters.tsx';

const STEP = 100;
const MOST = 500;

/** Refused sessions of any time, newest first, by site, person and day, each with its why. */
export function Refused() {
  const { fleet } = useDraft();
  const [where] = useWhere();
  const [limit, setLimit] = useState(STEP);
  const zone = fleet.sites.get(where.site ?? '')?.zone ?? Intl.DateTimeFormat().resolvedOptions().timeZone;
  const { site, driver, vehicle, from, to } = useDeferredValue(wishOf(where, zone));
  const asked = useAsk('refusals', { query: { site, driver, vehicle, from, to, limit } });
  const rows = asked.data;
  return (
    <>
      <Filters zone={zone} refusals />
      {asked.isError && <ProblemNote problem={asked.error.problem} />}
      <p role="status">
        {rows === undefined
          ? 'Asking for the refusals …'
          : rows.length === 0
            ? 'No refusal matches.'
            : rows.length < limit
              ? plural(rows.length, 'refusal')
              : `The newest ${rows.length} refusals`}
      </p>
      {rows && rows.length > 0 && (
        <ul className="plain-list ledger-refused">
          {rows.map((r) => (
            <RefusalEntry key={r.id} refusal={r} fleet={fleet} />
          ))}
        </ul>
      )}
      {rows && rows.length === limit && (
        <p className="small quiet">
          {limit < MOST ? (
            <button type="button" className="button" onClick={() => setLimit(limit + STEP)}>
              Show more
            </button>
          ) : (
            'There may be more: choose a day, a site or a person.'
          )}
        </p>
      )}
    </>
  );
}
