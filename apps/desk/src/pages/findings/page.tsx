import type { Finding } from '@fillwright/core/findings';
import { type Fleet, rowsOf, TABLES, type TableName } from '@fillwright/core/fleet';
import { Link } from '@tanstack/react-router';
import { useEffect } from 'react';
import { useDraft } from '../../data/draft.ts';
import { useFindings } from '../../data/findings.ts';
import { nameOf, placeOf, useWhere } from '../../data/where.ts';
import { namedItems, WhereChoice, WhereSearch } from '../../field/where-choice.tsx';
import { Mark } from '../../look/marks.tsx';
import { plural } from '../../show/amounts.ts';
import { BrokenExpectations } from './broken.tsx';
import { filtered, grouped, SEVERITIES, type Severity } from './grouping.ts';
import './findings.css';

const WORDS: Readonly<Record<Severity, readonly [string, string]>> = {
  error: ['error', 'a release waits until it is mended'],
  warning: ['warning', 'a release asks for a word about it'],
  note: ['note', 'nothing needs to be done'],
};

/** The sites that a finding touches, by the records that it speaks of. */
const sitesOf =
  (fleet: Fleet) =>
  (f: Finding): ReadonlySet<string> =>
    new Set(
      f.on
        .map((r) => (r.table === 'sites' ? r.id : String(rowsOf(fleet, r.table).get(r.id)?.site ?? '')))
        .filter(Boolean),
    );

/** What the checks find in the draft, with why it matters and what to do. */
export default function FindingsPage() {
  const { fleet } = useDraft();
  const all = useFindings();
  const [where] = useWhere();
  const severity = SEVERITIES.find((s) => s === where.severity);
  const some = filtered(all, { severity, site: where.site, text: where.text }, sitesOf(fleet));
  useEffect(() => {
    if (where.id) document.getElementById(where.id)?.scrollIntoView({ block: 'center' });
  }, [where.id]);
  return (
    <div className="page">
      <div className="page-head">
        <h1>Findings</h1>
        <WhereChoice
          label="Show"
          part="severity"
          beside
          field="findings-pick"
          items={SEVERITIES.map((s) => [s, `${WORDS[s][0]}s`])}
        />
        <WhereChoice label="Site" part="site" beside field="findings-pick" items={namedItems(fleet.sites)} />
        <WhereSearch label="Search" part="text" beside field="findings-pick" />
      </div>
      <p className="quiet" role="status">
        {all.length === 0
          ? 'The checks find nothing in this draft.'
          : some.length === all.length
            ? `${plural(all.length, 'finding')} in this draft`
            : `${some.length} of ${plural(all.length, 'finding')} shown`}
      </p>
      <BrokenExpectations />
      {grouped(some).map((group) => (
        <section key={group.severity} className="stack" aria-label={`${WORDS[group.severity][0]}s`}>
          <h2>
            <Mark is={group.severity}>{plural(group.count, WORDS[group.severity][0])}</Mark>{' '}
            <span className="small quiet">{WORDS[group.severity][1]}</span>
          </h2>
          {group.checks.map((check) => (
            <Check key={check.code} findings={check.findings} fleet={fleet} open={where.id} />
          ))}
        </section>
      ))}
    </div>
  );
}

const FIRST = 20;

function Check({ findings, fleet, open }: { findings: readonly Finding[]; fleet: Fleet; open: string | undefined }) {
  const first = findings[0];
  if (!first) return null;
  const shown = findings.slice(0, FIRST);
  const rest = findings.slice(FIRST);
  return (
    <article className="panel findings-check">
      <h3>
        <span data-names>{first.title}</span> <span className="small quiet">{first.code}</span>
      </h3>
      <p>
        <strong>Mend:</strong> {first.mend}
      </p>
      <p className="small quiet">
        {first.reason} Source: {first.source}
        {/[.!?]$/.test(first.source) ? '' : '.'}
      </p>
      <ul className="findings-list">
        {shown.map((f) => (
          <Item key={f.id} finding={f} fleet={fleet} open={f.id === open} />
        ))}
      </ul>
      {rest.length > 0 && (
        <details open={rest.some((f) => f.id === open)}>
          <summary>{rest.length} more</summary>
          <ul className="findings-list">
            {rest.map((f) => (
              <Item key={f.id} finding={f} fleet={fleet} open={f.id === open} />
            ))}
          </ul>
        </details>
      )}
    </article>
  );
}

function Item({ finding, fleet, open }: { finding: Finding; fleet: Fleet; open: boolean }) {
  return (
    <li id={finding.id} className={open ? 'open' : undefined}>
      <span>{finding.text}</span>
      <span className="row findings-links">
        {finding.on.slice(0, 4).map((r) => (
          <Link key={`${r.table}/${r.id}/${r.field ?? ''}`} {...placeOf(r.table, r.id, r.field)}>
            {calledWithKind(fleet, r.table, r.id)}
          </Link>
        ))}
        {finding.on.length > 4 && <span className="quiet">and {finding.on.length - 4} more</span>}
        <BenchLink finding={finding} />
      </span>
    </li>
  );
}

/** 'pump P2 diesel', but 'hose 3' only once. */
function calledWithKind(fleet: Fleet, table: TableName, id: string): string {
  const [one, name] = [TABLES[table].one, nameOf(fleet, table, id)];
  return name.startsWith(one) ? name : `${one} ${name}`;
}

/** Findings about who can draw lead to the bench with that person or hose chosen. */
function BenchLink({ finding }: { finding: Finding }) {
  const on = (table: string) => finding.on.find((r) => r.table === table)?.id;
  const search = { driver: on('drivers'), vehicle: on('vehicles'), hose: on('hoses') };
  if (!search.driver && !search.vehicle) return null;
  return (
    <Link to="/bench" search={search}>
      Try on the bench
    </Link>
  );
}
