import type { Fleet } from '@fillwright/core/fleet';
import type { ReplyOf } from '@fillwright/wire';
import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import { useDraft } from '../../data/draft.ts';
import { useAsk } from '../../data/hub.ts';
import { type Search, useWhere } from '../../data/where.ts';
import { byName, byNumber, Choice, hosesAt } from '../../field/choice.tsx';
import { LabelledInput } from '../../field/labelled-input.tsx';
import { TextEntry } from '../../field/text-entry.tsx';
import { Mark } from '../../look/marks.tsx';
import { ProblemNote } from '../../look/problem-note.tsx';
import { volumeText } from '../../show/amounts.ts';
import { SmallestChanges } from '../../show/smallest-changes.tsx';
import { Steps } from '../../show/steps.tsx';
import { WishedVolume } from '../../show/wished-volume.tsx';
import { type Asked, askedOf, PINS } from './asked.ts';
import { Named } from './filters.tsx';

/** For the help desk: somebody is on the telephone. What would the site decide, and what is the least that would help? */
export function AskWhy() {
  const { fleet } = useDraft();
  const [where, change] = useWhere();
  const [now] = useState(Date.now);
  const [wanted, setWanted] = useState(0);
  const asked = askedOf(where, fleet, now);
  const { site, hose, at, card, driver, vehicle, pin, cutOff, ready } = asked;
  const reply = useAsk(
    'askWhy',
    { query: { site, hose, at: at ?? 0, card, driver, vehicle, pin, cutOff: String(cutOff), wanted } },
    { enabled: ready },
  );
  return (
    <div className="ask-why">
      <section className="panel stack" aria-label="Who stands where, and when">
        <Who card={card} change={change} />
        <div className="ask-pair">
          <WhereAndWhen fleet={fleet} asked={asked} change={change} />
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
        {ready && reply.isPending && <p className="quiet">Deciding …</p>}
        {ready && reply.error && <ProblemNote problem={reply.error.problem} />}
        {ready && reply.data && <Told fleet={fleet} asked={asked} told={reply.data} wanted={wanted} />}
      </section>
    </div>
  );
}

/** A card, or where there is none at hand a driver and a vehicle. */
function Who({ card, change }: { card: string | undefined; change: (part: Search) => void }) {
  return (
    <>
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
    </>
  );
}

function WhereAndWhen({ fleet, asked, change }: { fleet: Fleet; asked: Asked; change: (part: Search) => void }) {
  const { site, hose, date, time, pin } = asked;
  return (
    <>
      <Choice
        label="Site"
        items={byName(fleet.sites.values())}
        value={site}
        choose={(id) => change({ site: id, hose: undefined })}
      />
      <Choice
        label="Hose"
        items={byNumber(fleet, hosesAt(fleet, site))}
        value={hose}
        choose={(id) => change({ hose: id })}
      />
      <LabelledInput
        label="Date at the site"
        type="date"
        value={date}
        onText={(text) => change({ date: text || undefined })}
      />
      <LabelledInput
        label="Time at the site"
        type="time"
        value={time}
        onText={(text) => change({ time: text || undefined })}
      />
      <Choice label="PIN" items={PINS} value={pin} choose={(state) => change({ pin: state })} />
    </>
  );
}

/** What the site would decide, what would help, and each step of it. */
function Told(props: { fleet: Fleet; asked: Asked; told: ReplyOf<'askWhy'>; wanted: number }) {
  const { fleet, asked, told, wanted } = props;
  const { site, hose, at, pin } = asked;
  const [card, card2] = told.cards;
  return (
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
        <Link to="/bench" search={{ site, hose, at: String(at), card, card2, pin, against: 'running' }}>
          Try it on the bench
        </Link>
      </p>
    </>
  );
}
