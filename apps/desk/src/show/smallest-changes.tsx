import type { Fleet } from '@fillwright/core/fleet';
import { useAsk } from '../data/hub.ts';
import { Mark } from '../look/marks.tsx';
import { ProblemNote } from '../look/problem-note.tsx';
import { volumeText } from './amounts.ts';

const WHO = {
  person: 'the person at the terminal',
  editor: 'an editor, with a release',
  technician: 'a technician',
} as const;

/** A refused session decided again under the release that stood then, and the least that would have had to be different. */
export function SmallestChanges({ id, fleet }: { id: string; fleet: Fleet }) {
  const asked = useAsk('why', { params: { id } });
  if (asked.error) return <ProblemNote problem={asked.error.problem} />;
  if (!asked.data) return <p className="quiet">Deciding it again …</p>;
  const { agrees, recorded, again, remedies, taken, revision } = asked.data;
  return (
    <div className="stack">
      {!agrees && (
        <p>
          <Mark is="note">Comes out otherwise now</Mark> The site recorded {recorded.by}; with what the office knows
          today, revision {revision} says {again.approved ? 'approved' : again.by}.
        </p>
      )}
      {remedies.length > 0 && (
        <>
          <h3>What would have helped, at least</h3>
          <ul>
            {remedies.map((r) => (
              <li key={r.changes.map((c) => c.text).join()}>
                {r.changes.map((c) => `${c.text} (${WHO[c.who]})`).join(', and ')}: up to {volumeText(fleet, r.limit)}
              </li>
            ))}
          </ul>
        </>
      )}
      {!again.approved && remedies.length === 0 && (
        <p className="quiet">No change of up to three things would have helped.</p>
      )}
      {taken.length > 0 && <p className="small quiet">Not on record, and taken so: {taken.join('; ')}.</p>}
    </div>
  );
}
