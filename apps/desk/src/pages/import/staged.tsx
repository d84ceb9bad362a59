import { type Edit, TABLES, type TableName } from '@fillwright/core/fleet';
import type { Staged } from '@fillwright/wire';
import { useDraft } from '../../data/index.ts';
import { editsInWords } from '../../data/words.ts';
import { Heads, right } from '../../look/heads.tsx';
import { Mark } from '../../look/marks.tsx';
import { type Mapping, readMapping } from './mapping.ts';
import { type Mapped, MappingTable } from './mapping-table.tsx';

export interface StagedFileProps {
  readonly staged: Staged;
  readonly busy: boolean;
  readonly mapped: Mapped;
  readonly onMapping: (mapping: Mapping) => void;
  readonly onTake: () => void;
  readonly onLeave: () => void;
}

const MOST_EDITS = 12;

/** What a file would change, what in it could not be read, and, for a roster, which column went where. */
export function StagedFile({ staged, busy, mapped, onMapping, onTake, onLeave }: StagedFileProps) {
  const { fleet } = useDraft();
  const mapping = readMapping(staged.mapping);
  const counts = Object.entries(staged.counts).filter(([, c]) => c.new + c.changed + c.same > 0);
  const nothing = staged.editCount === 0;
  return (
    <>
      <section className="panel stack">
        <div className="spread">
          <h2>{staged.name}</h2>
          <span className="quiet">
            {staged.kind === 'roster' ? 'read as a roster' : 'read as a workbook of this fleet'}
          </span>
        </div>
        {counts.length > 0 && (
          <table className="table" aria-label="What the file would change">
            <Heads of={['Table', right('New'), right('Changed'), right('As they are')]} />
            <tbody>
              {counts.map(([table, c]) => (
                <tr key={table}>
                  <td>{TABLES[table as TableName]?.many ?? table}</td>
                  <td className="number">{c.new}</td>
                  <td className="number">{c.changed}</td>
                  <td className="number quiet">{c.same}</td>
                </tr>
              ))}
            </tbody>
          </table>
        )}
        <div>
          {staged.problems.length === 0 ? (
            <Mark is="good">Every cell could be read</Mark>
          ) : (
            <Mark is="warning">
              {staged.problems.length === 1 ? 'One thing' : `${staged.problems.length} things`} could not be read; the
              rest can be taken all the same
            </Mark>
          )}
        </div>
        <div className="row">
          <button type="button" className="button main" disabled={busy || nothing} onClick={onTake}>
            Take into the draft
          </button>
          <button type="button" className="button" disabled={busy} onClick={onLeave}>
            Leave it
          </button>
          {nothing && <span className="quiet">Nothing in the file differs from the draft.</span>}
        </div>
      </section>
      {mapping && (
        <MappingTable mapping={mapping} columns={staged.columns} busy={busy} mapped={mapped} onMapping={onMapping} />
      )}
      {staged.problems.length > 0 && (
        <section className="panel stack">
          <h2>What could not be read</h2>
          {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a list that scrolls must be reachable by keys */}
          <section className="import-scroll" tabIndex={0} aria-label="What could not be read">
            <table className="table small">
              <Heads of={['Sheet', 'Row', 'Column', 'Found', 'Expected', 'What to do']} />
              <tbody>
                {staged.problems.map((p, i) => (
                  // biome-ignore lint/suspicious/noArrayIndexKey: the list stands as it was read
                  <tr key={i}>
                    <td>{p.at?.in}</td>
                    <td>{p.at?.row}</td>
                    <td>{p.at?.field}</td>
                    <td>{p.found}</td>
                    <td>{p.expected}</td>
                    <td>
                      {p.cause} {p.mend} <span className="quiet">{p.code}</span>
                    </td>
                  </tr>
                ))}
              </tbody>
            </table>
          </section>
        </section>
      )}
      {staged.edits.length > 0 && (
        <section className="panel stack">
          <h2>The first changes</h2>
          <ul>
            {editsInWords(fleet, staged.edits.slice(0, MOST_EDITS) as Edit[]).map((line, i) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: the list stands as it was read
              <li key={i}>{line}</li>
            ))}
            {staged.editCount > MOST_EDITS && <li className="quiet">and {staged.editCount - MOST_EDITS} more</li>}
          </ul>
        </section>
      )}
    </>
  );
}
