import { TABLES } from '@fillwright/core/fleet';
import { parseDate } from '@fillwright/core/units';
import { Link } from '@tanstack/react-router';
import { useDeferredValue, useId } from 'react';
import { useDraft, useToday } from '../data/index.ts';
import { Mark } from '../look/marks.tsx';
import { plural } from '../show/amounts.ts';
import { Going } from '../show/going.tsx';
import type { About } from './message.ts';
import { useDifference } from './use-reach.ts';
import './touched.css';

const FIRST = 5;
const KINDS = { gained: '+ Gained', lost: '− Lost', raised: '↑ Raised', lowered: '↓ Lowered' } as const;

/** Where a record's change shows, in words. */
const WHERE: Readonly<Record<About['table'], string>> = {
  allowances: 'where this allowance decides',
  drivers: 'for this driver, alone or with any vehicle',
  vehicles: 'for this vehicle, alone or with any driver',
  credentials: 'for whom this credential names',
  hoses: 'at this hose',
  sites: 'at this site',
  products: 'of this product',
};

/** Who gains and who loses by what the draft changes about one record, beside its fields while they are edited. */
export function Touched({ table, id }: About) {
  const heading = useId();
  const { fleet, base } = useDraft();
  const today = parseDate(useToday()) ?? 0;
  const worked = useDifference(base, useDeferredValue(fleet), today, { table, id });
  const { answer, stopped } = worked;
  const told = answer?.kind === 'change' ? answer.told : undefined;
  const more = told ? told.lines.length - FIRST + Object.values(told.more).reduce((a, b) => a + b, 0) : 0;
  const since = base === null ? 'Nothing has been released yet' : `Since release ${base}`;
  return (
    <section className="stack touched" aria-labelledby={heading}>
      <div className="spread">
        <h3 id={heading}>Who is touched</h3>
        <Going worked={worked} quickly />
      </div>
      {answer?.kind === 'failed' && <Mark is="warning">{answer.sentence}</Mark>}
      <p className="small quiet" role="status">
        {stopped
          ? 'Stopped: who is touched has not been worked out.'
          : !told
            ? 'Comparing with the last release …'
            : told.lines.length === 0
              ? `Nobody: ${since.toLowerCase()}, nothing is gained or lost ${WHERE[table]}.`
              : `${since}, ${WHERE[table]}:`}
      </p>
      {told && !stopped && told.lines.length > 0 && (
        <ul aria-label={`Whom this ${TABLES[table].one} touches`}>
          {told.lines.slice(0, FIRST).map((l) => (
            <li key={l.key}>
              <strong>{KINDS[l.kind]}</strong>: {l.who.join('; ')}. {l.product} at {l.sites}: {l.before} → {l.after}.{' '}
              <Link to="/bench" search={l.bench}>
                Try it
              </Link>
            </li>
          ))}
        </ul>
      )}
      {told && more > 0 && !stopped && (
        <p className="small">
          {plural(more, 'smaller group')} more on{' '}
          <Link to="/compare" search={compareSearch(table, id, base)}>
            Compare
          </Link>
          .
        </p>
      )}
    </section>
  );
}

/** The page on which all of it stands, narrowed to the record where that can be. */
function compareSearch(table: About['table'], id: string, base: number | null): Record<string, string> {
  const before = base === null ? 'nothing' : String(base);
  const key = { drivers: 'driver', vehicles: 'vehicle', sites: 'site', products: 'product' }[table as string];
  return { before, after: 'draft', ...(key ? { [key]: id } : {}) };
}
