import type { Problem } from '@fillwright/core/errors';
import { type Edit, YARDS, type YardKind, yardTemplate } from '@fillwright/core/fleet';
import { useState } from 'react';
import { Dialog, Heading, Modal, ModalOverlay } from 'react-aria-components';
import { useDraft } from '../../data/draft.ts';
import { Choice } from '../../field/choice.tsx';
import { ProblemNote } from '../../look/problem-note.tsx';
import { freeId, nextSite } from './add.ts';
import { recordableZone, zoneOptions } from './zones.ts';

/** A new site: empty, or a usual yard to begin from. */
export function NewSite({ onMade }: { onMade: (id: string) => void }) {
  const [asking, setAsking] = useState(false);
  return (
    <>
      <button type="button" className="button no-print" onClick={() => setAsking(true)}>
        New site
      </button>
      {asking && (
        <ModalOverlay className="veil" isOpen isDismissable onOpenChange={setAsking}>
          <Modal className="dialog">
            <Dialog className="stack">
              <NewSiteForm
                onMade={(id) => {
                  setAsking(false);
                  onMade(id);
                }}
                onLeave={() => setAsking(false)}
              />
            </Dialog>
          </Modal>
        </ModalOverlay>
      )}
    </>
  );
}

function NewSiteForm({ onMade, onLeave }: { onMade: (id: string) => void; onLeave: () => void }) {
  const { fleet, edit } = useDraft();
  const [name, setName] = useState(() => nextSite(fleet, 'UTC').name);
  const [zone, setZone] = useState(() => recordableZone([...fleet.sites.values()].at(-1)?.zone));
  const [yard, setYard] = useState<YardKind | ''>('petrol-and-diesel');
  const [problem, setProblem] = useState<Problem>();
  const make = () => {
    const given = { siteId: freeId(fleet, 'sites', name), name: name.trim(), zone };
    const edits: Edit[] =
      yard === ''
        ? [{ op: 'put', table: 'sites', row: { ...nextSite(fleet, zone), id: given.siteId, name: given.name } }]
        : yardTemplate(yard, given, fleet);
    const done = edit(edits, `New site ${given.name}`);
    if (done.ok) onMade(given.siteId);
    else setProblem(done.error[0]);
  };
  return (
    <form
      className="stack"
      onSubmit={(e) => {
        e.preventDefault();
        make();
      }}
    >
      <Heading slot="title" className="dialog-title">
        New site
      </Heading>
      <label className="field">
        <span className="field-label">Name</span>
        <input className="input" value={name} required maxLength={200} onChange={(e) => setName(e.target.value)} />
      </label>
      <Choice label="Time zone" items={zoneOptions().map((z) => [z, z])} value={zone} choose={setZone} />
      <Choice
        label="Begin with"
        items={[...(Object.entries(YARDS) as [YardKind, string][]), ['', 'An empty site']]}
        value={yard}
        choose={setYard}
      >
        <span className="field-note small">Usual yards to begin from and change: common practice, no source.</span>
      </Choice>
      {problem && <ProblemNote problem={problem} />}
      <div className="row">
        <button type="submit" className="button main">
          Make the site
        </button>
        <button type="button" className="button" onClick={onLeave}>
          Not now
        </button>
      </div>
    </form>
  );
}
