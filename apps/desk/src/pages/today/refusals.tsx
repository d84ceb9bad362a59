import { Link } from '@tanstack/react-router';
import { useDraft } from '../../data/draft.ts';
import { useAsk } from '../../data/hub.ts';
import { ProblemNote } from '../../look/problem-note.tsx';
import { RefusalEntry } from '../../show/refusal-entry.tsx';

/** The latest refused sessions, each with its why. */
export function Refusals() {
  const { fleet } = useDraft();
  const asked = useAsk('refusals', { query: { limit: 12 } });
  if (asked.isError) return <ProblemNote problem={asked.error.problem} />;
  if (!asked.data) return <p role="status">Asking …</p>;
  if (asked.data.length === 0) return <p className="quiet">Nobody has been refused.</p>;
  return (
    <>
      <ul className="plain-list">
        {asked.data.map((r) => (
          <RefusalEntry key={r.id} refusal={r} fleet={fleet} />
        ))}
      </ul>
      <Link to="/ledger" search={{ view: 'refusals' }}>
        Older refusals
      </Link>
    </>
  );
}
