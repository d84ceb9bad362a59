import { formatDate, parseDate } from '@fillwright/core/units';
import { useDeferredValue } from 'react';
import { useToday } from '../../data/clock.ts';
import { useDraft } from '../../data/draft.ts';
import { Mark } from '../../look/marks.tsx';
import { Lines } from '../../reach/lines.tsx';
import type { Told } from '../../reach/told.ts';
import { useDifference } from '../../reach/use-reach.ts';
import { countText, plural } from '../../show/amounts.ts';
import { Going } from '../../show/going.tsx';

const COLUMNS = [
  { title: 'Gained', kinds: ['gained'], none: 'Nobody gains what they could not draw before.' },
  { title: 'Lost', kinds: ['lost'], none: 'Nobody loses what they could draw before.' },
  { title: 'Raised and lowered', kinds: ['raised', 'lowered'], none: 'No limit changes.' },
] as const;

/** What a release of the draft would do to everybody's reach, worked out beside the page. */
export function WhoGains({ since }: { since: number | null }) {
  const { fleet } = useDraft();
  const later = useDeferredValue(fleet);
  const today = parseDate(useToday()) ?? 0;
  const worked = useDifference(since, later, today);
  const { answer, working, stopped } = worked;
  const told = answer?.kind === 'change' ? answer.told : undefined;
  return (
    <section className="panel stack" aria-labelledby="release-gains">
      <div className="spread">
        <h2 id="release-gains">Who gains and who loses</h2>
        <Going worked={worked} />
      </div>
      <p className="small quiet" role="status">
        {working
          ? `Comparing with ${since === null ? 'an empty fleet' : `release ${since}`} …`
          : stopped
            ? 'Stopped: what a release would do to people has not been worked out.'
            : told
              ? summary(told)
              : ''}
      </p>
      {answer?.kind === 'failed' && <Mark is="warning">{answer.sentence}</Mark>}
      {told && told.lines.length > 0 && !stopped && (
        <div className="release-gains">
          {COLUMNS.map((column) => (
            <Column key={column.title} {...column} told={told} />
          ))}
        </div>
      )}
    </section>
  );
}

function summary({ points, days, since }: Told): string {
  const span = `from ${formatDate(days[0])} to ${formatDate(days[1])}`;
  const said = (['gained', 'lost', 'raised', 'lowered'] as const)
    .filter((kind) => points[kind] > 0n)
    .map((kind) => `${countText(points[kind])} ${kind}`);
  if (said.length === 0) return `Nothing changes for anybody ${span}.`;
  const before = since === null ? 'Nothing has been released yet, so all of it is gained. ' : '';
  return `${before}Points ${span}: ${said.join(', ')}. A point is a driver or nobody, a vehicle or nobody, a hose and a minute; PIN and answers are taken as right, nothing as drawn before.`;
}

const FIRST = 6;

function Column({ title, kinds, none, told }: (typeof COLUMNS)[number] & { told: Told }) {
  const lines = told.lines.filter((l) => (kinds as readonly string[]).includes(l.kind));
  const untold = kinds.reduce((n, kind) => n + told.more[kind], 0);
  return (
    <div className="stack">
      <h3>{title}</h3>
      {lines.length === 0 && <p className="quiet">{none}</p>}
      <Lines lines={lines.slice(0, FIRST)} />
      {lines.length > FIRST && (
        <details>
          <summary>{lines.length - FIRST} more</summary>
          <Lines lines={lines.slice(FIRST)} />
          {untold > 0 && <p className="quiet">{plural(untold, 'smaller group')} not listed.</p>}
        </details>
      )}
    </div>
  );
}
