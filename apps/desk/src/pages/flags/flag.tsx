import type { Fleet, TableName } from '@fillwright/core/fleet';
import { TABLES } from '@fillwright/core/fleet';
import type { FlagReply } from '@fillwright/wire';
import { Link } from '@tanstack/react-router';
import { useEffect, useRef, useState } from 'react';
import { useDo } from '../../data/hub.ts';
import { useMay } from '../../data/me.ts';
import { nameOf, placeOf } from '../../data/where.ts';
import { Mark } from '../../look/marks.tsx';
import { ProblemNote } from '../../look/problem-note.tsx';
import { SafetyNote } from '../../show/safety.tsx';
import { hereMoment, siteMoment } from '../../show/site-time.ts';
import { evidenceOf } from './evidence.ts';

/** One flag: what is unusual, the next step, what it rests on, and a person's word. */
export function OneFlag({ flag: f, fleet, chosen }: { flag: FlagReply; fleet: Fleet; chosen: boolean }) {
  const place = useRef<HTMLLIElement>(null);
  useEffect(() => {
    if (chosen) place.current?.scrollIntoView({ block: 'center' });
  }, [chosen]);
  const fills = f.on.filter((r) => r.table === 'fills').map((r) => r.id);
  const when = f.site === null ? hereMoment(f.at) : siteMoment(f.at, fleet.sites.get(f.site)?.zone ?? 'UTC');
  return (
    <li ref={place} className={`panel flag${chosen ? ' chosen' : ''}`}>
      <div className="spread">
        <h2 className="flag-text">
          {f.looked ? (
            <Mark is="good" bare>
              looked at
            </Mark>
          ) : (
            <Mark is="note" bare>
              open
            </Mark>
          )}{' '}
          {f.text}
        </h2>
        <span className="small quiet flag-when">
          {when}
          {f.site !== null && `, ${nameOf(fleet, 'sites', f.site)}`}
        </span>
      </div>
      <p>
        <strong>Next step:</strong> {f.next}
      </p>
      {f.code === 'G10' && f.looked === null && <SafetyNote before="anybody goes to the hose" />}
      <div className="row flag-links no-print">
        {f.on.map((r) => (
          <Subject
            key={`${r.table}/${r.id}`}
            table={r.table}
            id={r.id}
            fleet={fleet}
            only={f.on.length === 1}
            nth={fills.length > 1 ? fills.indexOf(r.id) + 1 : 0}
          />
        ))}
      </div>
      <details className="small">
        <summary>
          Evidence <span className="quiet">{f.code}</span>
        </summary>
        <p className="quiet">
          {f.title}. {f.reason} Source: {f.source}.
        </p>
        <dl className="flag-evidence">
          {evidenceOf(f.evidence, fleet).map(([name, value]) => (
            <div key={name}>
              <dt>{name}</dt>
              <dd>{value}</dd>
            </div>
          ))}
        </dl>
      </details>
      <Word flag={f} />
    </li>
  );
}

/** A fill in the ledger, where its Why? is; else the record of the fleet. */
function Subject(props: { table: string; id: string; fleet: Fleet; only: boolean; nth: number }) {
  const { table, id, fleet, only, nth } = props;
  if (table === 'loose') return null;
  if (table === 'fills')
    return (
      <Link to="/ledger" search={{ fill: id }}>
        {nth === 0 ? 'Fill and its Why?' : `Fill ${nth} and its Why?`}
      </Link>
    );
  const name = nameOf(fleet, table as TableName, id);
  const fills = table === 'vehicles' ? { vehicle: id } : table === 'drivers' ? { driver: id } : undefined;
  return (
    <>
      <Link {...placeOf(table as TableName, id)}>
        {name.startsWith(TABLES[table as TableName].one) ? name : `${TABLES[table as TableName].one} ${name}`}
      </Link>
      {(only || table === 'vehicles') && fills && (
        <Link to="/ledger" search={fills}>
          all its fills
        </Link>
      )}
    </>
  );
}

function Word({ flag: f }: { flag: FlagReply }) {
  const may = useMay('technician');
  const say = useDo('lookedAtFlag');
  const [open, setOpen] = useState(false);
  const [note, setNote] = useState('');
  const send = (word: string | null) =>
    say.mutate({ body: { flag: f.id, note: word } }, { onSuccess: () => setOpen(false) });
  if (f.looked)
    return (
      <p className="row flag-word">
        <span>
          Looked at by {f.looked.by}, {hereMoment(f.looked.at)}
          {f.looked.note !== '' && `: ${f.looked.note}`}
        </span>
        {may && (
          <button type="button" className="button no-print" disabled={say.isPending} onClick={() => send(null)}>
            Open again
          </button>
        )}
        {say.isError && <ProblemNote problem={say.error.problem} />}
      </p>
    );
  if (!may) return null;
  if (!open)
    return (
      <p className="no-print">
        <button type="button" className="button" aria-label={`Looked at: ${f.text}`} onClick={() => setOpen(true)}>
          Looked at …
        </button>
      </p>
    );
  return (
    <form
      className="row flag-word no-print"
      onSubmit={(e) => {
        e.preventDefault();
        send(note);
      }}
    >
      <label className="field flag-note">
        <span className="field-label">What you saw</span>
        <input
          className="input"
          // biome-ignore lint/a11y/noAutofocus: the form opens on the person's own press
          autoFocus
          maxLength={500}
          value={note}
          onChange={(e) => setNote(e.target.value)}
        />
      </label>
      <button type="submit" className="button main" disabled={say.isPending}>
        Looked at
      </button>
      <button type="button" className="button" onClick={() => setOpen(false)}>
        Cancel
      </button>
      {say.isError && <ProblemNote problem={say.error.problem} />}
    </form>
  );
}
