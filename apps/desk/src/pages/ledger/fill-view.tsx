import type { Fleet } from '@fillwright/core/fleet';
import { END_REASONS } from '@fillwright/core/island';
import type { Fill } from '@fillwright/wire';
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

function Detail({ fleet, detail }: { fleet: Fleet; detail: NonNullable<ReturnType<typeof useAsk<'fill'>>['data']> }) {
  const { fill, curve, entries, answers } = detail;
  const zone = fleet.sites.get(fill.site)?.zone ?? 'UTC';
  const recorded = recordedOf(detail.decision, fleet);
  const facts: [string, ReactNode][] = [
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
    ...(fill.proving === null ? [] : [['No sale', 'drawn for a proving run'] as [string, ReactNode]]),
    ['State', <StateOf key="state" fill={fill} />],
    ['Ended because', endWords(fill.stopReason) || 'not ended'],
    ['Revision', String(fill.revision)],
  ];
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
          <dl className="facts">
            {facts.map(([name, value]) => (
              <div key={name}>
                <dt>{name}</dt>
                <dd>{value}</dd>
              </div>
            ))}
          </dl>
          {Object.keys(answers).length > 0 && (
            <>
              <h2>Answers</h2>
              <dl className="facts">
                {Object.entries(answers).map(([question, answer]) => (
                  <div key={question}>
                    <dt>{nameOf(fleet, 'questions', question)}</dt>
                    <dd>{answer}</dd>
                  </div>
                ))}
              </dl>
            </>
          )}
        </section>
        <section className="panel stack" aria-labelledby="fill-curve">
          <h2 id="fill-curve">Flow curve</h2>
          <FlowCurve fleet={fleet} curve={curve} limit={fill.limit} />
        </section>
      </div>
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
      <section className="panel stack" aria-labelledby="fill-journal">
        <h2 id="fill-journal">Journal entries</h2>
        <div className="strip-scroll">
          <table className="table">
            <Heads
              of={[
                right('Number'),
                `At (${siteMoment(fill.startedAt, zone).slice(17)})`,
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
    </>
  );
}
