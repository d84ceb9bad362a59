import type { Fleet } from '@fillwright/core/fleet';
import type { Refusal } from '@fillwright/wire';
import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import { useDraft } from '../../data/draft.ts';
import { useAsk } from '../../data/hub.ts';
import { nameOf } from '../../data/where.ts';
import { ProblemNote } from '../../look/problem-note.tsx';
import { recordedOf } from '../../show/recorded.ts';
import { siteMoment } from '../../show/site-time.ts';
import { SmallestChanges } from '../../show/smallest-changes.tsx';
import { Steps } from '../../show/steps.tsx';

/** The latest refused sessions, each with its why. */
export function Refusals() {
  const { fleet } = useDraft();
  const asked = useAsk('refusals', { query: { limit: 12 } });
  if (asked.isError) return <ProblemNote problem={asked.error.problem} />;
  if (!asked.data) return <p role="status">Asking …</p>;
  if (asked.data.length === 0) return <p className="quiet">Nobody has been refused.</p>;
  return (
    <ul className="today-list">
      {asked.data.map((r) => (
        <One key={r.id} refusal={r} fleet={fleet} />
      ))}
    </ul>
  );
}

const whoOf = (r: Refusal, fleet: Fleet): string =>
  [r.driver && nameOf(fleet, 'drivers', r.driver), r.vehicle && nameOf(fleet, 'vehicles', r.vehicle)]
    .filter(Boolean)
    .join(', ') || 'somebody unknown';

function One({ refusal: r, fleet }: { refusal: Refusal; fleet: Fleet }) {
  const [open, setOpen] = useState(false);
  const zone = fleet.sites.get(r.site)?.zone ?? 'UTC';
  const when = siteMoment(r.at, zone);
  return (
    <li>
      <div className="spread">
        <div>
          <div>
            <strong>{whoOf(r, fleet)}</strong> {r.words}
          </div>
          <div className="small quiet">
            {when} · {nameOf(fleet, 'sites', r.site)}, {nameOf(fleet, 'terminals', r.terminal)}
            {r.hose !== null && `, ${nameOf(fleet, 'hoses', r.hose)}`}
          </div>
        </div>
        <button
          type="button"
          className="button"
          aria-expanded={open}
          aria-label={`Why? ${whoOf(r, fleet)}, ${when}`}
          onClick={() => setOpen(!open)}
        >
          Why?
        </button>
      </div>
      {open && <Why refusal={r} fleet={fleet} />}
    </li>
  );
}

function Why({ refusal: r, fleet }: { refusal: Refusal; fleet: Fleet }) {
  const recorded = recordedOf(r.decision, fleet);
  const [card, card2] = (recorded?.credentials ?? []).map((c) => fleet.credentials.get(c)?.number ?? c);
  return (
    <div className="stack today-why">
      {recorded && recorded.lines.length > 0 ? (
        <Steps lines={recorded.lines} />
      ) : (
        <p className="quiet">It was refused before any rule was looked at.</p>
      )}
      {recorded?.next && (
        <p>
          <strong>Next step:</strong> {recorded.next}
        </p>
      )}
      <SmallestChanges id={r.id} fleet={fleet} />
      <p className="row">
        <Link
          to="/bench"
          search={{
            site: r.site,
            hose: r.hose ?? undefined,
            at: String(r.at),
            card,
            card2,
            ...(card === undefined ? { driver: r.driver ?? undefined, vehicle: r.vehicle ?? undefined } : {}),
            against: 'running',
          }}
        >
          Try it on the bench
        </Link>
        <span className="small quiet">decided under revision {r.revision}</span>
      </p>
    </div>
  );
}
