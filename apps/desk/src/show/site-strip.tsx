import type { SiteStatus } from '@fillwright/wire';
import { Link } from '@tanstack/react-router';
import { ago, useNow } from '../data/clock.ts';
import { useDraft } from '../data/draft.ts';
import { useAsk } from '../data/hub.ts';
import { Mark } from '../look/marks.tsx';
import { ProblemNote } from '../look/problem-note.tsx';
import { siteMoment } from './site-time.ts';
import { byNeed, linkSaid, revisionSaid, type Said, troublesOf } from './site-words.ts';
import './show.css';
import { Heads } from '../look/heads.tsx';

const Words = ({ said }: { said: Said }) =>
  said.is ? <Mark is={said.is}>{said.words}</Mark> : <span className="quiet">{said.words}</span>;

/** Every site in a line: what is wanted, what was delivered, what runs and since when, its link, and what needs a person. */
export function SiteStrip() {
  const { fleet } = useDraft();
  const sites = useAsk('sites', {});
  const now = useNow();
  if (sites.isError) return <ProblemNote problem={sites.error.problem} />;
  if (!sites.data) return <p role="status">Asking for the sites …</p>;
  if (sites.data.length === 0) return <p className="quiet">No site is known yet: release the draft first.</p>;
  const low = new Map([...fleet.tanks.values()].map((t) => [t.id, t.low]));
  return (
    <div className="strip-scroll">
      <table className="table strip">
        <caption className="unseen">Sites</caption>
        <Heads of={['Site', 'Wanted', 'Delivered', 'Running', 'Link', 'Needs a person']} />
        <tbody>
          {byNeed(sites.data, low).map((s) => (
            <SiteRow key={s.site} s={s} zone={fleet.sites.get(s.site)?.zone ?? 'UTC'} now={now} low={low} />
          ))}
        </tbody>
      </table>
    </div>
  );
}

function SiteRow({
  s,
  zone,
  now,
  low,
}: {
  s: SiteStatus;
  zone: string;
  now: number;
  low: ReadonlyMap<string, number>;
}) {
  const troubles = troublesOf(s, low);
  const link = linkSaid(s);
  return (
    <tr>
      <th scope="row">
        <Link to="/sheet" search={{ show: 'sites', id: s.site }}>
          {s.name}
        </Link>
      </th>
      <Revision number={s.wanted} since={s.wantedSince} zone={zone} />
      <Revision number={s.delivered} since={s.deliveredSince} zone={zone} />
      <td>
        <Words said={revisionSaid(s)} />
        {s.runningSince !== null && (
          <div className="small quiet">
            since <Moment at={s.runningSince} zone={zone} />
          </div>
        )}
        {s.refused && (
          <div className="small">
            {s.refused.cause} <span className="quiet">{s.refused.code}</span>
          </div>
        )}
      </td>
      <td>
        <Words said={link} />
        {s.heardAt !== null && <div className="small quiet">heard {ago(s.heardAt, now)}</div>}
      </td>
      <td>
        {troubles.length === 0 ? (
          <span className="quiet">nothing</span>
        ) : (
          <ul className="strip-troubles">
            {troubles.map((t) => (
              <li key={t.words}>
                <Words said={t} />
              </li>
            ))}
          </ul>
        )}
      </td>
    </tr>
  );
}

function Revision({ number, since, zone }: { number: number | null; since: number | null; zone: string }) {
  return (
    <td>
      {number === null ? <span className="quiet">none</span> : number}
      {since !== null && (
        <div className="small quiet">
          <Moment at={since} zone={zone} />
        </div>
      )}
    </td>
  );
}

/** Date and hour, which may stand on two lines; a date never breaks at its hyphens. */
function Moment({ at, zone }: { at: number; zone: string }) {
  const [date = '', ...hour] = siteMoment(at, zone).split(' ');
  return (
    <>
      <span className="whole">{date}</span> <span className="whole">{hour.join(' ')}</span>
    </>
  );
}
