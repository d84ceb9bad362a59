import { Link } from '@tanstack/react-router';
import { useDraft } from '../../data/draft.ts';
import { useAsk } from '../../data/hub.ts';
import { nameOf } from '../../data/where.ts';
import { ProblemNote } from '../../look/problem-note.tsx';
import { volumeText } from '../../show/amounts.ts';
import { siteMoment } from '../../show/site-time.ts';
import { StateOf } from '../ledger/fill-view.tsx';

/** The latest fills; renewed as soon as the office hears of another. */
export function LatestFills() {
  const { fleet } = useDraft();
  const asked = useAsk('fills', { query: { limit: 12 } });
  if (asked.isError) return <ProblemNote problem={asked.error.problem} />;
  if (!asked.data) return <p role="status">Asking …</p>;
  if (asked.data.fills.length === 0) return <p className="quiet">No fill yet.</p>;
  return (
    <ul className="plain-list">
      {asked.data.fills.map((f) => (
        <li key={f.id} className="spread">
          <div>
            <div>
              <Link to="/ledger" search={{ fill: f.id }}>
                <strong>{volumeText(fleet, f.volume, 1)}</strong> {nameOf(fleet, 'products', f.product)}
              </Link>{' '}
              {[f.driverName, f.vehicleName].filter(Boolean).join(', ')}
            </div>
            <div className="small quiet">
              {siteMoment(f.startedAt, fleet.sites.get(f.site)?.zone ?? 'UTC')} · {nameOf(fleet, 'sites', f.site)}, hose{' '}
              {f.hoseNumber}
            </div>
          </div>
          <StateOf fill={f} />
        </li>
      ))}
    </ul>
  );
}
