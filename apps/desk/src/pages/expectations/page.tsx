import { type Expectation, type Fleet, freeId, newRow, type TableName } from '@fillwright/core/fleet';
import { counterexampleWords, ruleToMend, sentenceWords, UNREAD, type Verdict } from '@fillwright/core/reach';
import { parseDate } from '@fillwright/core/units';
import { Link } from '@tanstack/react-router';
import { useDeferredValue, useEffect, useState } from 'react';
import { useToday } from '../../data/clock.ts';
import { useDraft } from '../../data/draft.ts';
import { useMay } from '../../data/me.ts';
import { placeOf, useWhere } from '../../data/where.ts';
import { Mark } from '../../look/marks.tsx';
import { benchSearch } from '../../reach/expected.ts';
import { useExpectations } from '../../reach/use-reach.ts';
import { plural } from '../../show/amounts.ts';
import { Paper } from './paper.tsx';
import { Words } from './words.tsx';
import '../../field/field.css';
import './expectations.css';

/** What the customer wishes, as sentences of chosen words, each with its verdict on the draft as it stands. */
export default function ExpectationsPage() {
  const { fleet, edit } = useDraft();
  const later = useDeferredValue(fleet);
  const may = useMay('editor');
  const [where] = useWhere();
  const [opened, setOpened] = useState(where.id);
  const { verdicts, working, failed } = useExpectations(later, parseDate(useToday()) ?? 0);
  const rows = [...fleet.expectations.values()];
  const sorted = [...rows].sort((a, b) => rank(verdicts?.get(a.id)) - rank(verdicts?.get(b.id)));
  const add = () => {
    const id = freeId('wish', (taken) => fleet.expectations.has(taken));
    edit([{ op: 'put', table: 'expectations', row: newRow('expectations', { id }) }], 'A new expectation');
    setOpened(id);
  };
  return (
    <div className="page">
      <div className="no-print page-head">
        <h1>Expectations</h1>
        <button type="button" className="button" disabled={rows.length === 0} onClick={() => print()}>
          Print to sign
        </button>
        <button type="button" className="button main" disabled={!may} onClick={add}>
          Add expectation
        </button>
      </div>
      <p className="no-print quiet">
        What the customer wants of who can draw what, checked at every point of the coming 90 days on every edit and
        before every release. PIN and answers are taken as right, nothing as drawn before, the site as linked.
      </p>
      <p className="no-print small quiet" role="status">
        {working && !verdicts ? 'Checking …' : verdicts ? summary(rows, verdicts) : ''}
      </p>
      {failed && <Mark is="error">{failed}</Mark>}
      {rows.length === 0 && (
        <p className="no-print">No expectation is written yet. They can also be imported from the workbook.</p>
      )}
      <div className="no-print wish-list">
        {sorted.map((row) => (
          <One
            key={row.id}
            row={row}
            fleet={fleet}
            verdict={verdicts?.get(row.id)}
            may={may}
            open={opened === row.id}
            toggle={() => setOpened(opened === row.id ? undefined : row.id)}
          />
        ))}
      </div>
      <Paper fleet={fleet} rows={rows} verdicts={verdicts} />
    </div>
  );
}

const RANK = { broken: 0, unread: 1, holds: 2, idle: 3 } as const;
const rank = (v: Verdict | undefined): number => (v ? RANK[v.verdict] : 2);

function summary(rows: readonly Expectation[], verdicts: ReadonlyMap<string, Verdict>): string {
  const count = (verdict: Verdict['verdict']) => rows.filter((r) => verdicts.get(r.id)?.verdict === verdict).length;
  const parts = [`${count('holds')} of ${plural(rows.length, 'expectation')} hold`];
  if (count('broken') > 0) parts.push(`${count('broken')} broken`);
  if (count('unread') > 0) parts.push(`${count('unread')} cannot be read`);
  if (count('idle') > 0) parts.push(`${count('idle')} ask nothing in these days`);
  return parts.join(', ');
}

interface OneProps {
  readonly row: Expectation;
  readonly fleet: Fleet;
  readonly verdict: Verdict | undefined;
  readonly may: boolean;
  readonly open: boolean;
  readonly toggle: () => void;
}

function One({ row, fleet, verdict, may, open, toggle }: OneProps) {
  const { edit } = useDraft();
  useEffect(() => {
    if (open) document.getElementById(`wish-${row.id}`)?.scrollIntoView({ block: 'nearest' });
  }, [open, row.id]);
  const sentence = sentenceWords(fleet, row);
  const remove = () => edit([{ op: 'remove', table: 'expectations', id: row.id }], `Without “${sentence}”`);
  return (
    <article className="panel" id={`wish-${row.id}`} data-names="">
      <div className="spread">
        <div>
          <h2 className="wish-sentence">{sentence}</h2>
          {row.wish !== '' && <div className="quiet">“{row.wish}”</div>}
        </div>
        <Said verdict={verdict} />
      </div>
      {verdict && <Because fleet={fleet} verdict={verdict} />}
      <div className="row">
        <button type="button" className="button" aria-expanded={open} onClick={toggle}>
          {open ? 'Close' : 'Change the words'}
        </button>
        {open && (
          <button type="button" className="button" disabled={!may} onClick={remove}>
            Remove
          </button>
        )}
      </div>
      {open && <Words row={row} fleet={fleet} may={may} />}
    </article>
  );
}

function Said({ verdict }: { verdict: Verdict | undefined }) {
  if (!verdict) return <span className="quiet">checking …</span>;
  if (verdict.verdict === 'holds') return <Mark is="good">Holds</Mark>;
  if (verdict.verdict === 'idle') return <Mark is="note">Asks nothing now</Mark>;
  if (verdict.verdict === 'unread') return <Mark is="error">Cannot be read</Mark>;
  return <Mark is="warning">Broken</Mark>;
}

/** Why it is broken, with the bench on that point and the record to mend. */
export function Because({ fleet, verdict }: { fleet: Fleet; verdict: Verdict }) {
  if (verdict.verdict === 'unread') return <p>{UNREAD[verdict.why]}</p>;
  if (verdict.verdict !== 'broken') return null;
  const { counterexample: c, failing } = verdict;
  return (
    <p>
      {counterexampleWords(fleet, c)}
      {failing ? ` So it is for ${failing.count} of ${failing.of}.` : ''}{' '}
      <span className="small quiet">Decided by: {ruleToMend(fleet, c)}.</span>{' '}
      <span className="small">
        <Link to="/bench" search={benchSearch(c)}>
          Try it on the bench
        </Link>
        {c.mend && (
          <>
            {' · '}
            <Link {...placeOf(c.mend.table as TableName, c.mend.id)}>Open what to mend</Link>
          </>
        )}
      </span>
    </p>
  );
}
