import { Link } from '@tanstack/react-router';
import { useDraft } from '../../data/draft.ts';
import { useAsk } from '../../data/hub.ts';
import { Mark } from '../../look/marks.tsx';
import { plural } from '../../show/amounts.ts';
import { hereMoment, siteMoment } from '../../show/site-time.ts';

const NEWEST = 3;

/** How many flags nobody has looked at, and the newest of them; nothing where there is none. */
export function OpenFlags() {
  const { fleet } = useDraft();
  const open = (useAsk('flags', { query: {} }).data?.flags ?? []).filter((f) => f.looked === null);
  if (open.length === 0) return null;
  return (
    <section className="panel stack" aria-labelledby="today-flags">
      <div className="spread">
        <h2 id="today-flags">
          <Mark is="note">{plural(open.length, 'open flag')}</Mark>
        </h2>
        <Link to="/flags" search={{}}>
          Look at the flags
        </Link>
      </div>
      <ul className="today-flags">
        {open.slice(0, NEWEST).map((f) => (
          <li key={f.id}>
            <Link to="/flags" search={{ id: f.id }}>
              {f.text}
            </Link>
            <div className="small quiet">
              {f.site === null ? hereMoment(f.at) : siteMoment(f.at, fleet.sites.get(f.site)?.zone ?? 'UTC')} · {f.next}
            </div>
          </li>
        ))}
      </ul>
    </section>
  );
}
