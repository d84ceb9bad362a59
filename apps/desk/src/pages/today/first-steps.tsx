import { Link } from '@tanstack/react-router';
import { useDraft } from '../../data/draft.ts';
import { useFindings } from '../../data/findings.ts';
import { useAsk } from '../../data/hub.ts';
import { Mark } from '../../look/marks.tsx';
import { firstSteps } from './steps.ts';

/** The way to the first fill, for as long as no site runs anything yet. */
export function FirstSteps() {
  const { fleet } = useDraft();
  const errors = useFindings().filter((f) => f.severity === 'error').length;
  const releases = useAsk('releases', {}).data;
  const sites = useAsk('sites', {}).data;
  const worksheets = useAsk('worksheets', { query: {} }).data;
  if (!releases || !sites || !worksheets || sites.some((s) => s.running !== null)) return null;
  const steps = firstSteps({ fleet, errors, releases: releases.length, sites, worksheets });
  return (
    <section className="panel stack" aria-labelledby="today-first">
      <div>
        <h2 id="today-first">On the way to the first fill</h2>
        <p className="small quiet">In any order: what is wanting shows as a finding and holds nothing else up.</p>
      </div>
      <ol className="today-steps">
        {steps.map((s) => (
          <li key={s.label}>
            <Mark is={s.done ? 'good' : 'note'} bare>
              {s.done ? 'there' : 'wanting'}
            </Mark>
            <div>
              <Link to={s.to} search={{}}>
                {s.label}
              </Link>
              <div className="small quiet">{s.words}</div>
            </div>
          </li>
        ))}
      </ol>
    </section>
  );
}
