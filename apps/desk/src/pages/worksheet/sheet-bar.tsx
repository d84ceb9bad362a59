import { urlOf } from '@fillwright/wire';
import { Mark } from '../../look/marks.tsx';
import { ProblemNote } from '../../look/problem-note.tsx';
import { plural } from '../../show/amounts.ts';
import type { progressOf } from './standing.ts';
import type { SheetHere } from './use-sheet.ts';

/** How far the sheet is, and whether the office has all of it; below, what keeps it from having it. */
export function SheetBar({
  id,
  here,
  progress,
}: {
  id: string;
  here: SheetHere;
  progress: ReturnType<typeof progressOf>;
}) {
  const { waiting, unlinked, refused, unkept, send, drop } = here;
  return (
    <>
      <div className="worksheet-bar">
        <progress value={progress.done} max={progress.all} aria-label="Steps in order" />
        <span role="status">
          {progress.done} of {progress.all} in order, {progress.journal} of them shown by the journal
          {progress.bad > 0 && (
            <>
              {' '}
              <Mark is="error">{progress.bad} not in order</Mark>
            </>
          )}
        </span>
        <span role="status">
          {waiting.length === 0 ? (
            <Mark is="good">everything is sent</Mark>
          ) : (
            <Mark is="warning">
              {plural(waiting.length, 'thing')} not sent yet
              {unlinked ? ': no link to the office; kept on this tablet' : ''}
            </Mark>
          )}
        </span>
        <a className="button" href={urlOf('worksheetPaper', { params: { id } })} download>
          PDF
        </a>
      </div>
      {unkept && (
        <div className="notice error" role="alert">
          <Mark is="error">This browser cannot keep anything: nothing pressed here counts. Use another browser.</Mark>
        </div>
      )}
      {refused && (
        <ProblemNote problem={refused}>
          <button type="button" className="button" onClick={() => void send()}>
            Send again
          </button>
          <button type="button" className="button" onClick={() => void drop()}>
            Drop what was not sent
          </button>
        </ProblemNote>
      )}
    </>
  );
}
