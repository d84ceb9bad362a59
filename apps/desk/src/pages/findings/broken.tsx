import { sentenceWords } from '@fillwright/core/reach';
import { parseDate } from '@fillwright/core/units';
import { Link } from '@tanstack/react-router';
import { useDeferredValue } from 'react';
import { useToday } from '../../data/clock.ts';
import { useDraft } from '../../data/draft.ts';
import { placeOf } from '../../data/where.ts';
import { Mark } from '../../look/marks.tsx';
import { useExpectations } from '../../reach/use-reach.ts';
import { plural } from '../../show/amounts.ts';
import { Because } from '../expectations/page.tsx';

/** The customer's expectations that the draft breaks: a release asks for a word about each. */
export function BrokenExpectations() {
  const { fleet } = useDraft();
  const later = useDeferredValue(fleet);
  const { verdicts } = useExpectations(later, parseDate(useToday()) ?? 0);
  const broken = [...later.expectations.values()].flatMap((row) => {
    const verdict = verdicts?.get(row.id);
    return verdict?.verdict === 'broken' ? [{ row, verdict }] : [];
  });
  if (broken.length === 0) return null;
  return (
    <section className="stack" aria-labelledby="findings-broken">
      <h2 id="findings-broken">
        <Mark is="warning">{plural(broken.length, 'expectation')} broken</Mark>{' '}
        <span className="small quiet">a release asks for a word about it</span>
      </h2>
      {broken.map(({ row, verdict }) => (
        <article key={row.id} className="panel findings-check" data-names="">
          <h3>
            <Link {...placeOf('expectations', row.id)}>{sentenceWords(later, row)}</Link>
          </h3>
          <Because fleet={later} verdict={verdict} />
        </article>
      ))}
    </section>
  );
}
