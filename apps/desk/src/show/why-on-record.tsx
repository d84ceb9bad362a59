import type { Fleet } from '@fillwright/core/fleet';
import { useState } from 'react';
import { useAsk } from '../data/hub.ts';
import { Mark } from '../look/marks.tsx';
import { ProblemNote } from '../look/problem-note.tsx';
import { volumeText } from './amounts.ts';
import { SmallestChanges } from './smallest-changes.tsx';
import { Steps } from './steps.tsx';
import { WishedVolume } from './wished-volume.tsx';

/** A fill or a refused session decided again under the release that stood then, and the least that would have let through what is wished for. */
export function WhyOnRecord({ id, fleet, steps }: { id: string; fleet: Fleet; steps: boolean }) {
  const [wanted, setWanted] = useState(0);
  const asked = useAsk('why', { params: { id }, query: { wanted } });
  const told = asked.data;
  return (
    <div className="stack">
      {asked.error && <ProblemNote problem={asked.error.problem} />}
      {!told && !asked.error && <p className="quiet">Deciding it again …</p>}
      {told && (
        <>
          {told.agrees ? (
            <p>
              Decided again under revision {told.revision}, it comes out the same:{' '}
              {told.again.limit === null ? 'declined' : `approved up to ${volumeText(fleet, told.again.limit)}`}.
            </p>
          ) : (
            <p>
              <Mark is="note">Comes out otherwise now</Mark> The site recorded {told.recorded.by}; with what the office
              knows today, revision {told.revision} says {told.again.approved ? 'approved' : told.again.by}.
            </p>
          )}
          {steps && <Steps lines={told.lines} fleet={fleet} />}
          <SmallestChanges told={told} wanted={wanted} fleet={fleet} />
          {told.taken.length > 0 && (
            <p className="small quiet">Not on record, and taken so: {told.taken.join('; ')}.</p>
          )}
        </>
      )}
      {!asked.error && <WishedVolume fleet={fleet} wanted={wanted} change={setWanted} />}
    </div>
  );
}
