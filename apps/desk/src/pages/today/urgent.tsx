import { Link } from '@tanstack/react-router';
import { ago, useNow } from '../../data/clock.ts';
import { useDraft } from '../../data/draft.ts';
import { useAsk } from '../../data/hub.ts';
import { nameOf } from '../../data/where.ts';
import { Heads, right } from '../../look/heads.tsx';
import { Mark } from '../../look/marks.tsx';
import { plural } from '../../show/amounts.ts';
import { siteMoment } from '../../show/site-time.ts';
import { sitesWithGap, stopsUnderWay } from './now.ts';

/** Stops on their way, gaps in journals, entries set aside; nothing where nothing is amiss. */
export function Urgent() {
  const { fleet } = useDraft();
  const now = useNow();
  const stops = stopsUnderWay(useAsk('stops', {}).data ?? []);
  const gaps = sitesWithGap(useAsk('sites', {}).data ?? []);
  const aside = useAsk('setAside', {}).data ?? [];
  return (
    <>
      {stops.map(({ stop, waiting, of }) => (
        <div key={stop.id} className="notice warning">
          <Mark is="warning">
            Stopped credential {nameOf(fleet, 'credentials', stop.credential)}: {waiting.length} of {plural(of, 'site')}{' '}
            still to hear of it
          </Mark>
          <div>
            Not yet at {waiting.join(', ')}. Until then it may still draw there. Stopped by {stop.by},{' '}
            {ago(stop.at, now)}
            {stop.reason && `: ${stop.reason}`}.{' '}
            <Link to="/roster" search={{ show: 'credentials', id: stop.credential }}>
              Look at the credential
            </Link>
          </div>
        </div>
      ))}
      {gaps.length > 0 && (
        <div className="notice error">
          <Mark is="error">Entries are missing from the journal of {gaps.join(', ')}</Mark>
          <div>
            The office has later entries but not these, so that fills may be missing from the ledger. Keep the box’s
            disk as it is and have it looked at.
          </div>
        </div>
      )}
      {aside.length > 0 && (
        <details className="notice warning">
          <summary>
            <Mark is="warning">{plural(aside.length, 'journal entry', 'journal entries')} kept but not understood</Mark>
          </summary>
          <table className="table">
            <Heads of={['Site', 'At, by the site’s clock', right('Number'), 'Why', 'As kept']} />
            <tbody>
              {aside.slice(0, 50).map((e) => (
                <tr key={`${e.site} ${e.epoch} ${e.seq}`}>
                  <td>{nameOf(fleet, 'sites', e.site)}</td>
                  <td>{siteMoment(e.at, fleet.sites.get(e.site)?.zone ?? 'UTC')}</td>
                  <td className="number">{e.seq}</td>
                  <td>{e.why}</td>
                  <td className="fixed small today-text">{e.text.slice(0, 300)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </details>
      )}
    </>
  );
}
