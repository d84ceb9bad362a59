import type { Problem } from '@fillwright/core/errors';
import { useState } from 'react';
import { useDraft } from '../../data/draft.ts';
import { ProblemNote } from '../../look/problem-note.tsx';
import { nextSite } from './add.ts';

/** A new site, in the zone of the last one or of this computer. */
export function NewSite({ onMade }: { onMade: (id: string) => void }) {
  const { fleet, edit } = useDraft();
  const [problem, setProblem] = useState<Problem>();
  const zone = [...fleet.sites.values()].at(-1)?.zone ?? Intl.DateTimeFormat().resolvedOptions().timeZone ?? 'UTC';
  const make = () => {
    const row = nextSite(fleet, zone);
    const done = edit([{ op: 'put', table: 'sites', row: { ...row } }], 'New site');
    if (done.ok) onMade(row.id);
    else setProblem(done.error[0]);
  };
  return (
    <>
      <button type="button" className="button no-print" onClick={make}>
        New site
      </button>
      {problem && <ProblemNote problem={problem} />}
    </>
  );
}
