import type { Fleet } from '@fillwright/core/fleet';
import { useState } from 'react';
import { useAsk } from '../../data/hub.ts';
import { Mark } from '../../look/marks.tsx';
import type { Told } from '../../reach/told.ts';
import { useDifference } from '../../reach/use-reach.ts';
import { Lines } from '../release/who-gains.tsx';
import '../release/release.css';

const grouped = (n: bigint) => n.toLocaleString('en');

/** The draft beside what a site runs or any release: who gains, who loses, for whom nothing changes. Worked out when it is asked for. */
export function Against({ fleet, today, site }: { fleet: Fleet; today: number; site: string }) {
  const [chosen, setChosen] = useState<number>();
  const releases = useAsk('releases', {}).data ?? [];
  const running = useAsk('sites', {}).data?.find((s) => s.site === site)?.running ?? null;
  if (releases.length === 0) return null;
  return (
    <section className="panel stack no-print" aria-labelledby="reach-against">
      <h2 id="reach-against">What the draft changes</h2>
      <label className="field reach-against">
        <span className="field-label">Against</span>
        <select
          className="input"
          value={chosen ?? ''}
          onChange={(e) => setChosen(e.target.value === '' ? undefined : Number(e.target.value))}
        >
          <option value="">nothing: do not compare</option>
          {releases.map((r) => (
            <option key={r.number} value={r.number}>
              release {r.number}
              {r.number === running ? ', which this site runs' : ''}
            </option>
          ))}
        </select>
      </label>
      {chosen !== undefined && <Compared key={chosen} {...{ fleet, today }} since={chosen} />}
    </section>
  );
}

function Compared({ fleet, today, since }: { fleet: Fleet; today: number; since: number }) {
  const { answer, working, stopped, stop, again } = useDifference(since, fleet, today);
  const told = answer?.kind === 'change' ? answer.told : undefined;
  return (
    <>
      <div className="row" role="status">
        {working && (
          <>
            Comparing with release {since} …
            <button type="button" className="button" onClick={stop}>
              Stop
            </button>
          </>
        )}
        {stopped && (
          <button type="button" className="button" onClick={again}>
            Compare
          </button>
        )}
      </div>
      {answer?.kind === 'failed' && <Mark is="warning">{answer.sentence}</Mark>}
      {told && !stopped && <Columns told={told} />}
    </>
  );
}

/** A raised limit is a gain, a lowered one a loss. */
function Columns({ told }: { told: Told }) {
  const { points, looked, lines, more, unchanged } = told;
  const column = (title: string, kinds: readonly ('gained' | 'raised' | 'lost' | 'lowered')[], none: string) => {
    const mine = lines.filter((l) => kinds.some((k) => k === l.kind));
    const left = kinds.reduce((n, k) => n + more[k], 0);
    return (
      <div className="stack">
        <h3>{title}</h3>
        {mine.length === 0 ? <p className="quiet">{none}</p> : <Lines lines={mine} />}
        {left > 0 && <p className="quiet">{left} smaller groups are not listed.</p>}
      </div>
    );
  };
  const changed = points.gained + points.lost + points.raised + points.lowered;
  return (
    <div className="release-gains">
      {column('Gained', ['gained', 'raised'], 'Nobody gains anything.')}
      {column('Lost', ['lost', 'lowered'], 'Nobody loses anything.')}
      <div className="stack">
        <h3>Unchanged</h3>
        {unchanged.drivers !== '' && (
          <p>
            <span className="release-who">{unchanged.drivers}</span>
          </p>
        )}
        {unchanged.vehicles !== '' && <p>Vehicles: {unchanged.vehicles}</p>}
        {unchanged.drivers === '' && unchanged.vehicles === '' && (
          <p className="quiet">Something changes for every driver and vehicle.</p>
        )}
        <p className="small quiet">{grouped(looked - changed)} points of the coming year are as they were.</p>
      </div>
    </div>
  );
}
