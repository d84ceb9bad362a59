import { problem } from '@fillwright/core/errors';
import type { Staged } from '@fillwright/wire';
import { useRef, useState } from 'react';
import { CallError, useDo, useDraft, useMay } from '../../data/index.ts';
import { useLongDo } from '../../data/long.ts';
import { ProblemNote } from '../../look/problem-note.tsx';
import { Going } from '../../show/going.tsx';
import { StagedFile } from './staged.tsx';
import './import.css';

/** A file is read without changing anything, looked at, corrected, and taken in as one change that can be undone. */
export default function ImportPage() {
  const { version } = useDraft();
  const mayEdit = useMay('editor');
  const stage = useLongDo('stageImport');
  const map = useLongDo('mapImport');
  const apply = useDo('applyImport');
  /** Stays here until it is taken, so that a reading that was stopped can begin again. */
  const [file, setFile] = useState<File>();
  const [staged, setStaged] = useState<Staged>();
  const [taken, setTaken] = useState<string>();
  const busy = stage.going.working || map.going.working || apply.isPending;
  const failed = stage.error ?? map.error ?? apply.error;

  const read = (file: File) => {
    setFile(file);
    setTaken(undefined);
    setStaged(undefined);
    map.reset();
    apply.reset();
    void stage.begin({ query: { name: file.name }, file }, setStaged);
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
      {apply.isPending && (
        <p role="status" className="quiet">
          Taking the rows into the draft …
        </p>
      )}
      {file && (stage.going.working || stage.going.stopped) && (
        <div className="row">
          <p role="status" className="quiet">
            {stage.going.working
              ? `Reading ${file.name} …`
              : `${file.name} was not read to its end; the office keeps nothing of it.`}
          </p>
          <Going
            what="How much of the file is read"
            worked={{ ...stage.going, again: () => read(file) }}
            anew="Read it again"
          />
        </div>
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
          mapped={map.going}
          onMapping={(mapping) => void map.begin({ params: { id: staged.id }, body: { mapping } }, setStaged)}
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
