import type { Fleet } from '@fillwright/core/fleet';
import { END_REASONS } from '@fillwright/core/island';
import type { Fill, ReplyOf } from '@fillwright/wire';
import { Link } from '@tanstack/react-router';
import { type ReactNode, useState } from 'react';
import { useDraft } from '../../data/draft.ts';
import { useAsk } from '../../data/hub.ts';
import { nameOf } from '../../data/where.ts';
import { Heads, right } from '../../look/heads.tsx';
import { Mark } from '../../look/marks.tsx';
import { ProblemNote } from '../../look/problem-note.tsx';
import { moneyText, priceText, volumeText } from '../../show/amounts.ts';
import { recordedOf } from '../../show/recorded.ts';
import { siteClock, siteMoment } from '../../show/site-time.ts';
import { Steps } from '../../show/steps.tsx';
import { WhyOnRecord } from '../../show/why-on-record.tsx';
import { FlowCurve } from './flow-curve.tsx';

const endWords = (reason: string | null): string =>
  reason === null ? '' : Object.hasOwn(END_REASONS, reason) ? END_REASONS[reason as keyof typeof END_REASONS] : reason;

/** Open and interrupted fills stand out; an ended one is as it should be. */
export function StateOf({ fill }: { fill: Fill }) {
  if (fill.state === 'open') return <Mark is="note">open</Mark>;
  if (fill.state === 'interrupted') return <Mark is="warning">interrupted</Mark>;
  return <span className="quiet">ended</span>;
}

/** One fill with everything that is known of it. */
export function FillView({ id, onBack }: { id: string; onBack: () => void }) {
  const { fleet } = useDraft();
  const asked = useAsk('fill', { params: { id } });
  return (
    <div className="page">
      <div className="page-head">
        <h1>Fill</h1>
        <button type="button" className="button" onClick={onBack}>
          Back to the ledger
        </button>
      </div>
      {asked.isError && <ProblemNote problem={asked.error.problem} />}
      {asked.isPending && <p role="status">Asking for the fill …</p>}
      {asked.data && <Detail fleet={fleet} detail={asked.data} />}
    </div>
  );
}

function FillWhy({ id, fleet }: { id: string; fleet: Fleet }) {
  const [open, setOpen] = useState(false);
  return (
    <div className="stack">
      <div>
        <button type="button" className="button" aria-expanded={open} onClick={() => setOpen(!open)}>
          Why?
        </button>
        <span className="small quiet"> decides it again, and says what would have let through more</span>
      </div>
      {open && <WhyOnRecord id={id} fleet={fleet} steps />}
    </div>
  );
}

type FillDetail = ReplyOf<'fill'>;

function Detail({ fleet, detail }: { fleet: Fleet; detail: FillDetail }) {
  const { fill, curve, entries, answers } = detail;
  const zone = fleet.sites.get(fill.site)?.zone ?? 'UTC';
  const answered = Object.entries(answers).map(
    ([question, answer]) => [nameOf(fleet, 'questions', question), answer, question] as const,
  );
  return (
    <>
      {fill.overrun > 0 && (
        <div className="notice warning">
          <Mark is="warning">{volumeText(fleet, fill.overrun, 3)} ran over the limit after the hose was closed</Mark>
        </div>
      )}
      {fill.state === 'interrupted' && (
        <div className="notice warning">
          <Mark is="warning">The box lost its power during this fill: the last count that was kept stands</Mark>
        </div>
      )}
      <div className="fill-body">
        <section className="panel" aria-label="Facts">
          <Facts of={factsOf(fleet, fill, zone)} />
          {answered.length > 0 && (
            <>
              <h2>Answers</h2>
              <Facts of={answered} />
            </>
          )}
        </section>
        <section className="panel stack" aria-labelledby="fill-curve">
          <h2 id="fill-curve">Flow curve</h2>
          <FlowCurve fleet={fleet} curve={curve} limit={fill.limit} />
        </section>
      </div>
      <Decision fleet={fleet} detail={detail} />
      <JournalEntries entries={entries} zone={zone} around={fill.startedAt} />
    </>
  );
}

type Fact = readonly [name: string, value: ReactNode, key?: string];

const factsOf = (fleet: Fleet, fill: Fill, zone: string): readonly Fact[] => [
  ['Site', nameOf(fleet, 'sites', fill.site)],
  ['Hose', `${fill.hoseNumber}, ${nameOf(fleet, 'products', fill.product)}`],
  ['Driver', fill.driverName || 'none'],
  ['Vehicle', fill.vehicleName || 'none'],
  ['Cost centre', fill.costCentre === null ? 'none' : nameOf(fleet, 'costCentres', fill.costCentre)],
  ['Started', siteMoment(fill.startedAt, zone)],
  ['Ended', fill.endedAt === null ? 'not yet' : siteMoment(fill.endedAt, zone)],
  ['Volume', volumeText(fleet, fill.volume, 3)],
  ['Pulses', String(fill.pulses)],
  ['Limit', volumeText(fleet, fill.limit, 1)],
  ['Price', fill.price === null ? 'none in force' : priceText(fleet, fill.price)],
  ['Amount', fill.amount === null ? 'none' : moneyText(fleet, fill.amount)],
  ...(fill.proving === null ? [] : [['No sale', 'drawn for a proving run'] as const]),
  ['State', <StateOf key="state" fill={fill} />],
  ['Ended because', endWords(fill.stopReason) || 'not ended'],
  ['Revision', String(fill.revision)],
];

function Facts({ of }: { of: readonly Fact[] }) {
  return (
    <dl className="facts">
      {of.map(([name, value, key = name]) => (
        <div key={key}>
          <dt>{name}</dt>
          <dd>{value}</dd>
        </div>
      ))}
    </dl>
  );
}

/** What was decided then, with each step; and the way to decide it again. */
function Decision({ fleet, detail }: { fleet: Fleet; detail: FillDetail }) {
  const { fill } = detail;
  const recorded = recordedOf(detail.decision, fleet);
  return (
    <section className="panel stack" aria-labelledby="fill-decision">
      <div className="spread">
        <h2 id="fill-decision">Decision</h2>
        <Link
          to="/bench"
          search={{
            site: fill.site,
            hose: fill.hose,
            at: String(fill.startedAt),
            driver: fill.driver ?? undefined,
            vehicle: fill.vehicle ?? undefined,
          }}
        >
          Try it on the bench
        </Link>
      </div>
      {recorded ? (
        <>
          {recorded.limit !== null && (
            <p>
              Approved up to {volumeText(fleet, recorded.limit)} under revision {fill.revision}.
            </p>
          )}
          <Steps lines={recorded.lines} fleet={fleet} />
          <FillWhy id={fill.id} fleet={fleet} />
        </>
      ) : (
        <p className="quiet">No decision is on record.</p>
      )}
    </section>
  );
}

/** The entries of the journal that the fill was read from. `around`: a moment of it, for the name of the clock. */
function JournalEntries({ entries, zone, around }: { entries: FillDetail['entries']; zone: string; around: number }) {
  return (
    <section className="panel stack" aria-labelledby="fill-journal">
      <h2 id="fill-journal">Journal entries</h2>
      <div className="strip-scroll">
        <table className="table">
          <Heads
            of={[
              right('Number'),
              `At (${siteMoment(around, zone).slice(17)})`,
              'Kind',
              'Hash in the chain',
              'Entry as kept',
            ]}
          />
          <tbody>
            {entries.map((e) => (
              <tr key={`${e.seq} ${e.hash}`}>
                <td className="number">{e.seq}</td>
                <td>{siteClock(e.at, zone)}</td>
                <td>{e.kind}</td>
                <td className="fixed small" title={e.hash}>
                  {e.hash.slice(0, 16)}…
                </td>
                <td>
                  <details>
                    <summary>Show</summary>
                    <pre className="fixed small entry-text">{e.text}</pre>
                    <p className="fixed small entry-text">{e.hash}</p>
                  </details>
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}
