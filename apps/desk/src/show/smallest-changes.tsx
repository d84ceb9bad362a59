import { type Fleet, rowsOf, TABLE_NAMES } from '@fillwright/core/fleet';
import type { ReplyOf } from '@fillwright/wire';
import { Link } from '@tanstack/react-router';
import { placeOf } from '../data/where.ts';
import { countText, plural, volumeText } from './amounts.ts';

const WHO = {
  person: 'the person at the terminal',
  editor: 'an editor, with a release',
  technician: 'a technician',
} as const;

type Told = Pick<ReplyOf<'why'>, 'again' | 'remedies'>;

/** The least that would have had to be different, who may make each change, and where in the draft it is made. */
export function SmallestChanges({
  told: { again, remedies },
  wanted,
  fleet,
}: {
  told: Told;
  wanted: number;
  fleet: Fleet;
}) {
  if (again.approved && (again.limit ?? 0) >= wanted) return null;
  if (remedies.length === 0) return <p className="quiet">No change of up to three things would have helped.</p>;
  // What the person at the terminal can do alone stands first: somebody is on the telephone.
  const others = (r: Told['remedies'][number]) => r.changes.filter((c) => c.who !== 'person').length;
  const list = remedies.toSorted((a, b) => others(a) - others(b));
  return (
    <>
      <h3>What would have helped, at least</h3>
      <Remedies list={list.slice(0, FIRST)} fleet={fleet} />
      {remedies.length > FIRST && (
        <details>
          <summary>{plural(remedies.length - FIRST, 'more way', 'more ways')}, no smaller</summary>
          <Remedies list={list.slice(FIRST, MOST)} fleet={fleet} />
          {list.length > MOST && <p className="quiet">{countText(list.length - MOST)} more are not listed.</p>}
        </details>
      )}
    </>
  );
}

const FIRST = 5;
/** Nobody reads more of them on a telephone. */
const MOST = 100;

function Remedies({ list, fleet }: { list: Told['remedies']; fleet: Fleet }) {
  return (
    <ul className="why-remedies">
      {list.map((r) => (
        <li key={r.changes.map((c) => c.text).join()}>
          {r.changes.map((c, i) => (
            <span key={c.text}>
              {i > 0 && ', and '}
              <To on={c.who === 'editor' ? c.on : null} fleet={fleet}>
                {c.text}
              </To>
              {r.changes[i + 1]?.who === c.who ? '' : <span className="quiet"> ({WHO[c.who]})</span>}
            </span>
          ))}
          : up to {volumeText(fleet, r.limit)}
        </li>
      ))}
    </ul>
  );
}

type On = { readonly table: string; readonly id: string } | null;

/** A link to a record of the draft; plain text where the draft has it no more. */
export function To({ on, fleet, children }: { on: On; fleet: Fleet; children: string }) {
  const table = TABLE_NAMES.find((t) => t === on?.table);
  if (!on || !table || !rowsOf(fleet, table).has(on.id)) return children;
  return <Link {...placeOf(table, on.id)}>{children}</Link>;
}
