import type { Fleet } from '@fillwright/core/fleet';
import type { Refusal } from '@fillwright/wire';
import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import { nameOf } from '../data/where.ts';
import { recordedOf } from './recorded.ts';
import { siteMoment } from './site-time.ts';
import { Steps } from './steps.tsx';
import { WhyOnRecord } from './why-on-record.tsx';

const whoOf = (r: Refusal, fleet: Fleet): string =>
  [r.driver && nameOf(fleet, 'drivers', r.driver), r.vehicle && nameOf(fleet, 'vehicles', r.vehicle)]
    .filter(Boolean)
    .join(', ') || 'somebody unknown';

/** A refused session, and behind 'Why?' its rules, the next step and the smallest changes. */
export function RefusalEntry({ refusal: r, fleet }: { refusal: Refusal; fleet: Fleet }) {
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
    <div className="stack refusal-why">
      {recorded?.next && (
        <p>
          <strong>Next step:</strong> {recorded.next}
        </p>
      )}
      <WhyOnRecord id={r.id} fleet={fleet} steps={false} />
      {recorded && recorded.lines.length > 0 ? (
        <details>
          <summary>Every rule that was looked at</summary>
          <Steps lines={recorded.lines} fleet={fleet} />
        </details>
      ) : (
        <p className="quiet">It was refused before any rule was looked at.</p>
      )}
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
