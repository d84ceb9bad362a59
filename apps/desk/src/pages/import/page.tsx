import { problem } from '@fillwright/core/errors';
import type { Staged } from '@fillwright/wire';
import { useRef, useState } from 'react';
import { CallError, useDo, useDraft, useMay } from '../../data/index.ts';
import { ProblemNote } from '../../look/problem-note.tsx';
import { StagedFile } from './staged.tsx';
import './import.css';

/** A file is read without changing anything, looked at, corrected, and taken in as one change that can be undone. */
export default function ImportPage() {
  const { version } = useDraft();
  const mayEdit = useMay('editor');
  const stage = useDo('stageImport');
  const map = useDo('mapImport');
  const apply = useDo('applyImport');
  const [staged, setStaged] = useState<Staged>();
  const [taken, setTaken] = useState<string>();
  const busy = stage.isPending || map.isPending || apply.isPending;
  const failed = stage.error ?? map.error ?? apply.error;

  const read = (file: File) => {
    setTaken(undefined);
    setStaged(undefined);
    map.reset();
    apply.reset();
    stage.mutate({ query: { name: file.name }, file }, { onSuccess: setStaged });
  };
  const take = () => {
    if (!staged) return;
    apply.mutate(
      { params: { id: staged.id }, body: { version } },
      {
        onSuccess: () => {
          setTaken(staged.name);
          setStaged(undefined);
        },
      },
    );
  };
  return (
    <div className="page">
      <div className="page-head">
        <h1>Import</h1>
        <div className="row">
          <a className="button" href="/api/template.xlsx" download>
            Empty workbook
          </a>
          <a className="button" href="/api/export.xlsx" download>
            Export the draft
          </a>
        </div>
      </div>
      {mayEdit ? <DropPlace onFile={read} busy={busy} /> : <p className="quiet">Only an editor or an owner imports.</p>}
      {busy && (
        <p role="status" className="quiet">
          {apply.isPending ? 'Taking the rows into the draft …' : 'Reading the file …'}
        </p>
      )}
      {failed && <ProblemNote problem={failed instanceof CallError ? failed.problem : problem('FW-911')} />}
      {taken && (
        <div className="notice good" role="status">
          <div>{taken} is in the draft, as one change. Undo takes all of it back.</div>
        </div>
      )}
      {staged && (
        <StagedFile
          staged={staged}
          busy={busy}
          onMapping={(mapping) =>
            map.mutate({ params: { id: staged.id }, body: { mapping } }, { onSuccess: setStaged })
          }
          onTake={take}
          onLeave={() => setStaged(undefined)}
        />
      )}
    </div>
  );
}

function DropPlace({ onFile, busy }: { onFile: (file: File) => void; busy: boolean }) {
  const input = useRef<HTMLInputElement>(null);
  const [over, setOver] = useState(false);
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: the button inside does the same for keys
    <div
      className={`drop panel${over ? ' over' : ''}`}
      onDragOver={(event) => {
        event.preventDefault();
        setOver(true);
      }}
      onDragLeave={() => setOver(false)}
      onDrop={(event) => {
        event.preventDefault();
        setOver(false);
        const file = event.dataTransfer.files[0];
        if (file && !busy) onFile(file);
      }}
    >
      <p>Drop a workbook (.xlsx) or a .csv here: a filled template, an export, or any list of drivers and vehicles.</p>
      <p className="quiet small">It is only read. Nothing changes until you take it into the draft.</p>
      <button type="button" className="button" disabled={busy} onClick={() => input.current?.click()}>
        Choose a file
      </button>
      <input
        ref={input}
        className="unseen"
        type="file"
        aria-label="File to import"
        tabIndex={-1}
        accept=".xlsx,.csv"
        onChange={(event) => {
          const file = event.target.files?.[0];
          if (file) onFile(file);
          event.target.value = '';
        }}
      />
    </div>
  );
}
