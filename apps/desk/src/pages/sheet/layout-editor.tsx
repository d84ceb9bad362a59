import type { Problem } from '@fillwright/core/errors';
import {
  LANGUAGE_NAMES,
  type LanguageId,
  type Layout,
  type LayoutAlign,
  type LayoutCell,
  type LayoutName,
} from '@fillwright/core/fleet';
import { TextEntry } from '../../field/text-entry.tsx';
import { Mark } from '../../look/marks.tsx';
import { addCell, addRow, cellOf, dropCell, dropRow, listOf, moveRow, setCell, shownBy } from './layout-edit.ts';

export interface LayoutEditorProps {
  readonly name: LayoutName;
  readonly title: string;
  readonly layout: Layout;
  readonly languages: readonly LanguageId[];
  readonly disabled: boolean;
  /** What is wrong with a row as it stands on the picture, by its number from 0. */
  readonly wrong: ReadonlyMap<number, string>;
  readonly onLayout: (layout: Layout) => Problem | undefined;
  /** Hears what is being typed; undefined when it is given up. */
  readonly onTyping: (layout: Layout | undefined) => void;
}

const ALIGNS: Readonly<Record<LayoutAlign, string>> = { left: 'left', centre: 'centre', right: 'right' };

/** A layout as rows of cells; what is chosen or typed is kept at once and stands on the picture beside it. */
export function LayoutEditor(props: LayoutEditorProps) {
  const { name, title, layout, languages, disabled, wrong, onLayout } = props;
  return (
    <div className="rows-edit">
      <ol aria-label={`Rows: ${title}`}>
        {layout.map((row, r) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: a row is known by its place alone
          <li key={r}>
            <span className="rows-number quiet">{r + 1}</span>
            <div className="rows-cells">
              {row.length === 0 && <span className="quiet">empty row</span>}
              {row.map((cell, c) => (
                // biome-ignore lint/suspicious/noArrayIndexKey: so is a cell
                <CellEditor key={c} {...props} cell={cell} row={r} at={c} />
              ))}
              {wrong.has(r) && <Mark is="warning">{wrong.get(r)}</Mark>}
            </div>
            {!disabled && (
              <div className="rows-acts">
                <Act
                  words="Add cell"
                  off={row.length > 5}
                  row={r}
                  does={() =>
                    onLayout(addCell(layout, r, cellOf('words', row.length > 0 ? 'right' : 'left', languages)))
                  }
                />
                <Act words="Up" off={r === 0} row={r} does={() => onLayout(moveRow(layout, r, -1))} />
                <Act words="Down" off={r === layout.length - 1} row={r} does={() => onLayout(moveRow(layout, r, 1))} />
                <Act words="Remove" off={false} row={r} does={() => onLayout(dropRow(layout, r))} />
              </div>
            )}
          </li>
        ))}
      </ol>
      {!disabled && layout.length < 60 && (
        <div className="row">
          <button
            type="button"
            className="button"
            onClick={() => onLayout(addRow(layout, [cellOf('words', 'centre', languages)]))}
          >
            Add row of words
          </button>
          <button
            type="button"
            className="button"
            onClick={() => {
              const first = name === 'idle' ? 'site' : 'quantity';
              const both = [cellOf(`label ${first}`, 'left', languages), cellOf(`field ${first}`, 'right', languages)];
              onLayout(addRow(layout, both));
            }}
          >
            Add row with a field
          </button>
          <button type="button" className="button" onClick={() => onLayout(addRow(layout, []))}>
            Add empty row
          </button>
        </div>
      )}
    </div>
  );
}

function Act({ words, off, row, does }: { words: string; off: boolean; row: number; does: () => unknown }) {
  return (
    <button
      type="button"
      className="button plain"
      disabled={off}
      aria-label={`${words}, row ${row + 1}`}
      onClick={does}
    >
      {words}
    </button>
  );
}

function CellEditor(props: LayoutEditorProps & { cell: LayoutCell; row: number; at: number }) {
  const { name, layout, languages, disabled, cell, row, at, onLayout, onTyping } = props;
  const where = `row ${row + 1}, cell ${at + 1}`;
  const put = (to: LayoutCell) => onLayout(setCell(layout, row, at, to));
  return (
    <div className="rows-cell">
      <select
        className="input"
        aria-label={`Shows, ${where}`}
        value={shownBy(cell)}
        disabled={disabled}
        onChange={(e) => put(cellOf(e.target.value, cell.align, languages))}
      >
        {listOf(name).map((group) => (
          <optgroup key={group.title} label={group.title}>
            {group.of.map(([value, words]) => (
              <option key={value} value={value}>
                {words}
              </option>
            ))}
          </optgroup>
        ))}
      </select>
      <select
        className="input rows-align"
        aria-label={`Stands, ${where}`}
        value={cell.align}
        disabled={disabled}
        onChange={(e) => put({ ...cell, align: e.target.value as LayoutAlign })}
      >
        {Object.entries(ALIGNS).map(([value, words]) => (
          <option key={value} value={value}>
            {words}
          </option>
        ))}
      </select>
      {!disabled && (
        <button
          type="button"
          className="button plain icon"
          aria-label={`Remove, ${where}`}
          onClick={() => onLayout(dropCell(layout, row, at))}
        >
          ×
        </button>
      )}
      {'words' in cell &&
        languages.map((language) => {
          const said = (text: string): LayoutCell => ({
            align: cell.align,
            words: { ...cell.words, [language]: text === '' ? undefined : text },
          });
          return (
            <div className="rows-words" key={language}>
              <span className="small quiet" aria-hidden="true">
                {LANGUAGE_NAMES[language]}
              </span>
              <TextEntry
                label={`${LANGUAGE_NAMES[language]}, ${where}`}
                text={cell.words[language] ?? ''}
                disabled={disabled}
                placeholder="not written"
                commit={(text) => put(said(text))}
                onTyping={(text) => onTyping(text === undefined ? undefined : setCell(layout, row, at, said(text)))}
              />
            </div>
          );
        })}
    </div>
  );
}
