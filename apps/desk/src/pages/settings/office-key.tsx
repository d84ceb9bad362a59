import type { OfficeKey } from '@fillwright/wire';
import { useState } from 'react';
import { day, useNow } from '../../data/clock.ts';
import { moment, useAsk, useDo, useDraft } from '../../data/index.ts';
import { nameOf } from '../../data/name-of.ts';
import { Mark } from '../../look/marks.tsx';
import { ProblemNote } from '../../look/problem-note.tsx';
import { plural } from '../../show/amounts.ts';
import { SafetyNote } from '../../show/safety.tsx';

const DAY_MS = 86_400_000;
const USUAL_DAYS = 30;
const MOST_DAYS = 399;

/** The key that the office signs with, and how it is given on to a new one (docs/adr/0024-a-key-is-given-on-by-both.md). For an owner. */
export function OfficeKeyPanel() {
  const asked = useAsk('officeKey', {});
  const key = asked.data;
  return (
    <section className="panel stack" aria-labelledby="settings-key">
      <h2 id="settings-key">Key of the office</h2>
      {asked.error && <ProblemNote problem={asked.error.problem} />}
      {key && (
        <>
          <p>
            Everything that a box believes is signed with it. This is <strong>key {key.version}</strong>,{' '}
            {key.since === null ? 'which came by no handover' : `which came by the handover of ${moment(key.since)}`}.
            Its fingerprint: <code>{key.fingerprint}</code>
          </p>
          {key.next ? <GivenOn next={key.next} look={() => void asked.refetch()} /> : <HandOver />}
        </>
      )}
    </section>
  );
}

/** Which boxes have the key that comes, and which have not. */
function GivenOn({ next, look }: { next: NonNullable<OfficeKey['next']>; look: () => void }) {
  const { fleet } = useDraft();
  const named = (sites: readonly string[]) => sites.map((id) => nameOf(fleet, 'sites', id)).join(', ');
  const { has, waiting, others } = next;
  return (
    <>
      <p role="status">
        <strong>Key {next.version}</strong> is being handed over since {moment(next.since)}. The office signs with the
        old key until every box has said that it has the new one, at the latest until{' '}
        <strong>{moment(next.until)}</strong>; then the old one counts for nothing. Fingerprint of the new:{' '}
        <code>{next.fingerprint}</code>
      </p>
      <dl className="settings-boxes">
        <dt>
          <Mark is="good">Confirmed</Mark>
        </dt>
        <dd>{has.length === 0 ? 'no box yet' : named(has)}</dd>
        <dt>
          <Mark is={waiting.length + others > 0 ? 'warning' : 'good'}>Not yet</Mark>
        </dt>
        <dd>
          {waiting.length === 0 ? 'none of this fleet' : named(waiting)}
          {others > 0 && `; of other fleets of this office ${plural(others, 'box', 'boxes')}`}
        </dd>
      </dl>
      {waiting.length > 0 && (
        <>
          <p className="small">
            To a site without a link carry a file before that date: Sheet, <i>Carry by hand</i>. It has the new key
            beside it. A box that comes back later follows by itself.
          </p>
          <SafetyNote before="you go to a box beside a dispenser or pump" />
        </>
      )}
      <p className="small">
        When it is through, copy <code>office.key</code> and <code>office-keys.json</code> into the backup and do away
        with older copies: a backup from before holds a key that no box believes.
      </p>
      <div className="row no-print">
        <button type="button" className="button" onClick={look}>
          Look again
        </button>
      </div>
    </>
  );
}

function HandOver() {
  const now = useNow(60_000);
  const hand = useDo('handOverKey');
  const [date, setDate] = useState(() => day(now + USUAL_DAYS * DAY_MS));
  const [asks, setAsks] = useState(false);
  // The whole of the day that is named, by the clock here.
  const until = new Date(`${date}T23:59:59`).getTime();
  return (
    <>
      <p>
        Hand over when somebody leaves who could have copied the key, when the machine changes hands, or once a year.
        The office makes the new key itself, and both sign that it follows. Until every box has it, or until the date,
        the office goes on signing with the old one.
      </p>
      <p className="small">
        Give boxes without a link time: somebody must carry a file to them. Where several offices work on one database,
        stop all but one before. A key that was <strong>lost or stolen cannot be handed over</strong>: then a person
        sets another at each box, comparing the fingerprint by word of mouth. All of it stands in the guide{' '}
        <i>Run it for real</i>.
      </p>
      <form
        className="row no-print settings-hand"
        onSubmit={(e) => {
          e.preventDefault();
          setAsks(true);
        }}
      >
        <label className="field">
          <span className="field-label">Boxes must have it by</span>
          <input
            className="input"
            type="date"
            required
            min={day(now)}
            max={day(now + MOST_DAYS * DAY_MS)}
            value={date}
            onChange={(e) => {
              setDate(e.target.value);
              setAsks(false);
            }}
          />
        </label>
        {!asks && (
          <button type="submit" className="button">
            Hand over
          </button>
        )}
      </form>
      {asks && (
        <div className="stack" role="alertdialog" aria-label="Hand over">
          <p>
            This cannot be taken back. After {moment(until)} no box takes the old key, whether it has the new one or
            not.
          </p>
          <div className="row">
            <button
              type="button"
              className="button main"
              disabled={hand.isPending}
              onClick={() => hand.mutate({ body: { until } })}
            >
              Make the new key now
            </button>
            <button type="button" className="button plain" onClick={() => setAsks(false)}>
              Leave it
            </button>
          </div>
        </div>
      )}
      {hand.error && <ProblemNote problem={hand.error.problem} />}
    </>
  );
}
