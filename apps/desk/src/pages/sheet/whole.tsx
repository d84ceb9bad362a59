import type { Problem } from '@fillwright/core/errors';
import { type Copied, copyOf, type Edit, type Fleet, removeWith, TABLES, type TableName } from '@fillwright/core/fleet';
import { useState } from 'react';
import { Dialog, Heading, Modal, ModalOverlay } from 'react-aria-components';
import { useDraft } from '../../data/draft.ts';
import { editsInWords } from '../../data/words.ts';
import type { PartRef } from './layout.ts';
import { partName } from './names.ts';

interface Acting {
  readonly site: string;
  /** The site itself where it is undefined. */
  readonly part: PartRef | undefined;
  readonly onChoose: (part: PartRef | undefined) => void;
  readonly onSite: (site: string) => void;
  readonly onProblem: (problem: Problem | undefined) => void;
}

const copiedTable = (part: PartRef | undefined): Copied | undefined =>
  part === undefined ? 'sites' : part.table === 'pumps' || part.table === 'islands' ? part.table : undefined;

const WITH: Readonly<Record<Copied, string>> = {
  pumps: 'Copy with its hoses',
  islands: 'Copy with its hoses and terminals',
  sites: 'Copy this site',
};

/** Copies a pump, an island or a site with what belongs to it. */
export function CopyButton({ site, part, onChoose, onSite, onProblem }: Acting) {
  const { fleet, edit } = useDraft();
  const table = copiedTable(part);
  if (!table) return null;
  const copy = () => {
    const edits = copyOf(table, part?.id ?? site, fleet);
    const done = edit(edits, `${WITH[table]}: ${wholeName(fleet, site, part)}`);
    if (!done.ok) return onProblem(done.error[0]);
    const first = edits.find((e) => e.op === 'put' && e.table === table);
    const id = first?.op === 'put' ? String(first.row.id) : undefined;
    if (id === undefined) return;
    if (table === 'sites') onSite(id);
    else onChoose({ table, id });
  };
  return (
    <button type="button" className="button" onClick={copy}>
      {WITH[table]}
    </button>
  );
}

const wholeName = (fleet: Fleet, site: string, part: PartRef | undefined): string =>
  part ? partName(fleet, part) : `Site ${fleet.sites.get(site)?.name ?? site}`;

/** Removes a part, or the site, with what hangs on it, after showing what that is. */
export function RemoveButton({ site, part, onChoose, onProblem }: Omit<Acting, 'onSite'>) {
  const { fleet, edit } = useDraft();
  const [edits, setEdits] = useState<readonly Edit[]>();
  const table: TableName = part?.table ?? 'sites';
  const id = part?.id ?? site;
  const name = wholeName(fleet, site, part);
  const remove = () => {
    if (!edits) return;
    setEdits(undefined);
    const done = edit(edits, `Remove ${name}`);
    if (done.ok) onChoose(undefined);
    else onProblem(done.error[0]);
  };
  return (
    <>
      <button type="button" className="button" onClick={() => setEdits(removeWith(table, id, fleet))}>
        {part ? 'Remove' : 'Remove this site'}
      </button>
      {edits && (
        <ModalOverlay className="veil" isOpen isDismissable onOpenChange={(open) => !open && setEdits(undefined)}>
          <Modal className="dialog">
            <Dialog role="alertdialog" className="stack">
              <Heading slot="title" className="dialog-title">
                Remove {name}?
              </Heading>
              <What edits={edits} fleet={fleet} table={table} id={id} />
              <p className="small quiet">Undo brings everything back.</p>
              <div className="row">
                <button type="button" className="button stop" onClick={remove}>
                  Remove
                </button>
                <button type="button" className="button" onClick={() => setEdits(undefined)}>
                  Keep
                </button>
              </div>
            </Dialog>
          </Modal>
        </ModalOverlay>
      )}
    </>
  );
}

const MOST = 15;

function What({ edits, fleet, table, id }: { edits: readonly Edit[]; fleet: Fleet; table: TableName; id: string }) {
  const others = edits.filter((e) => !(e.op === 'remove' && e.table === table && e.id === id));
  if (others.length === 0) return <p>Nothing else hangs on it.</p>;
  const lines = editsInWords(fleet, others);
  return (
    <>
      <p>This goes or changes with the {TABLES[table].one}:</p>
      <ul>
        {lines.slice(0, MOST).map((line) => (
          <li key={line}>{line}</li>
        ))}
        {lines.length > MOST && <li className="quiet">and {lines.length - MOST} more</li>}
      </ul>
    </>
  );
}
