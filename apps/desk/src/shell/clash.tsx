import type { Edit } from '@fillwright/core/fleet';
import { useState } from 'react';
import { Dialog, Heading, Modal, ModalOverlay } from 'react-aria-components';
import { moment } from '../data/clock.ts';
import { draft, useDraftState } from '../data/draft.ts';
import { editsInWords } from '../data/words.ts';

/** Somebody else changed the same thing: ours was set aside, and the person chooses after a look. */
export function ClashDialog() {
  const { clash, fleet } = useDraftState();
  const [looking, setLooking] = useState(false);
  if (!clash || !fleet) return null;
  const close = (then: () => void) => {
    setLooking(false);
    then();
  };
  return (
    <ModalOverlay className="veil" isOpen isDismissable={false} isKeyboardDismissDisabled>
      <Modal className="dialog">
        <Dialog role="alertdialog" className="stack">
          <Heading slot="title" className="dialog-title">
            Somebody else changed the same thing
          </Heading>
          <p>
            {clash.problem.cause} Your change is set aside and nothing of theirs was overwritten. {clash.problem.mend}
          </p>
          {looking && (
            <div className="clash-sides">
              <section>
                <h3>Their change</h3>
                {clash.theirs.map((change) => (
                  <div key={change.version}>
                    <div className="small quiet">
                      {change.by}, {moment(change.at)}
                      {change.note && `: ${change.note}`}
                    </div>
                    <Lines edits={change.edits as Edit[]} />
                  </div>
                ))}
              </section>
              <section>
                <h3>Your change</h3>
                {clash.mine.map((change, i) => (
                  // biome-ignore lint/suspicious/noArrayIndexKey: the line does not change while it is shown
                  <Lines key={i} edits={change.edits} />
                ))}
              </section>
            </div>
          )}
          <div className="row">
            {!looking && (
              <button type="button" className="button main" onClick={() => setLooking(true)}>
                Look at their change
              </button>
            )}
            <button type="button" className="button" onClick={() => close(() => draft.again())}>
              Make mine again
            </button>
            <button type="button" className="button" onClick={() => close(draft.letGo)}>
              Leave theirs
            </button>
          </div>
        </Dialog>
      </Modal>
    </ModalOverlay>
  );
}

const MOST_LINES = 12;

function Lines({ edits }: { edits: readonly Edit[] }) {
  const { fleet } = useDraftState();
  if (!fleet) return null;
  const lines = editsInWords(fleet, edits);
  return (
    <ul>
      {lines.slice(0, MOST_LINES).map((line) => (
        <li key={line}>{line}</li>
      ))}
      {lines.length > MOST_LINES && <li className="quiet">and {lines.length - MOST_LINES} more</li>}
    </ul>
  );
}
