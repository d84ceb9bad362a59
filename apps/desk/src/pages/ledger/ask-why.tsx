import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import { useDraft } from '../../data/draft.ts';
import { useAsk } from '../../data/hub.ts';
import { useWhere } from '../../data/where.ts';
import { byName, byNumber, Choice, hosesAt } from '../../field/choice.tsx';
import { TextEntry } from '../../field/text-entry.tsx';
import { Mark } from '../../look/marks.tsx';
import { ProblemNote } from '../../look/problem-note.tsx';
import { volumeText } from '../../show/amounts.ts';
import { instantsOf, UTC, wallOf, zoneKnown } from '../../show/site-time.ts';
import { SmallestChanges } from '../../show/smallest-changes.tsx';
import { Steps } from '../../show/steps.tsx';
import { WishedVolume } from '../../show/wished-volume.tsx';
import { Named } from './filters.tsx';

const PINS = [
  ['right', 'right'],
  ['wrong', 'wrong'],
  ['locked', 'locked after wrong tries'],
  ['notSet', 'not set at the site'],
] as const;

/** For the help desk: somebody is on the telephone. What would the site decide, and what is the least that would help? */
export function AskWhy() {
  const { fleet } = useDraft();
  const [where, change] = useWhere();
  const [now] = useState(Date.now);
  const [wanted, setWanted] = useState(0);
  const site = fleet.sites.has(where.site ?? '') ? (where.site ?? '') : ([...fleet.sites.keys()][0] ?? '');
  const hoses = hosesAt(fleet, site);
  const hose = hoses.find((h) => h.id === where.hose)?.id ?? hoses[0]?.id ?? '';
  const zone = fleet.sites.get(site)?.zone ?? 'UTC';
  const wall = wallOf(now, zone);
  const [date, time] = [where.date ?? wall.date, where.time ?? wall.time];
  const instants = instantsOf(date, time, zoneKnown(zone) ?? UTC);
  const at = instants?.[0];
  const { card, driver, vehicle } = where;
  const pin = PINS.find(([state]) => state === where.pin)?.[0] ?? 'right';
  const cutOff = where.cutOff === 'yes';
  const who = { card, driver: card ? undefined : driver, vehicle: card ? undefined : vehicle };
  const ready = hose !== '' && at !== undefined && Boolean(card || driver || vehicle);
  const asked = useAsk(
    'askWhy',
    { query: { site, hose, at: at ?? 0, ...who, pin, cutOff: String(cutOff), wanted } },
    { enabled: ready },
  );
  const told = ready ? asked.data : undefined;
  return (
    <div className="ask-why">
      <section className="panel stack" aria-label="Who stands where, and when">
        <div className="field">
          <span className="field-label" aria-hidden="true">
            Card number
          </span>
          <TextEntry
            label="Card number"
            text={card ?? ''}
            placeholder="paste or type it"
            commit={(text) => {
              change({ card: text.trim() || undefined });
              return undefined;
            }}
          />
        </div>
        {!card && (
          <div className="ask-pair">
            <Named part="driver" table="drivers" label="Or a driver" placeholder="none" />
            <Named part="vehicle" table="vehicles" label="And a vehicle" placeholder="none" />
          </div>
        )}
        <div className="ask-pair">
          <Choice
            label="Site"
            items={byName(fleet.sites.values())}
            value={site}
            choose={(id) => change({ site: id, hose: undefined })}
          />
          <Choice label="Hose" items={byNumber(fleet, hoses)} value={hose} choose={(id) => change({ hose: id })} />
          <label className="field">
            <span className="field-label">Date at the site</span>
            <input
              className="input"
              type="date"
              value={date}
              onChange={(e) => change({ date: e.target.value || undefined })}
            />
          </label>
          <label className="field">
            <span className="field-label">Time at the site</span>
            <input
              className="input"
              type="time"
              value={time}
              onChange={(e) => change({ time: e.target.value || undefined })}
            />
          </label>
          <Choice label="PIN" items={PINS} value={pin} choose={(state) => change({ pin: state })} />
          <WishedVolume fleet={fleet} wanted={wanted} change={setWanted} />
        </div>
        <label className="row">
          <input
            type="checkbox"
            checked={cutOff}
            onChange={(e) => change({ cutOff: e.target.checked ? 'yes' : undefined })}
          />
          The site is cut off from the office
        </label>
        {at === undefined && <Mark is="warning">The site’s clock does not show this time on this date.</Mark>}
      </section>
      <section className="panel stack" aria-label="What the site would decide" aria-live="polite">
        {!ready && <p className="quiet">Give a card number, or choose a driver or a vehicle.</p>}
        {ready && asked.isPending && <p className="quiet">Deciding …</p>}
        {ready && asked.error && <ProblemNote problem={asked.error.problem} />}
        {told && at !== undefined && (
          <>
            <h2>
              {told.again.limit === null ? (
                <Mark is="error">Declined</Mark>
              ) : (
                <>Approved, up to {volumeText(fleet, told.again.limit)}</>
              )}
            </h2>
            {told.again.approved || <p>{told.lines.find((l) => l.decides)?.text}</p>}
            <SmallestChanges told={told} wanted={wanted} fleet={fleet} />
            <Steps lines={told.lines} fleet={fleet} />
            <p className="small quiet">
              Under revision {told.revision}, which the site says that it runs.
              {told.taken.length > 0 && ` Taken so: ${told.taken.join('; ')}.`}
            </p>
            <p className="row">
              <Link
                to="/bench"
                search={{
                  site,
                  hose,
                  at: String(at),
                  card: told.cards[0],
                  card2: told.cards[1],
                  pin,
                  against: 'running',
                }}
              >
                Try it on the bench
              </Link>
            </p>
          </>
        )}
      </section>
    </div>
  );
}
