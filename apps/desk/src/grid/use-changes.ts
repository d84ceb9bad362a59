import type { Problem } from '@fillwright/core/errors';
import { type Edit, TABLES } from '@fillwright/core/fleet';
import { type RefObject, useCallback, useState } from 'react';
import { useToday } from '../data/clock.ts';
import { useDraft } from '../data/draft.ts';
import { nameOf } from '../data/where.ts';
import {
  type Changes,
  clearChanges,
  fillChanges,
  freshRow,
  type NotTaken,
  pasteChanges,
  type Rect,
  type Shown,
} from './changes.ts';
import type { Column } from './columns.ts';

export interface GridChanges {
  /** What the last change could not take, and why it could not be made at all. */
  readonly notTaken: readonly NotTaken[];
  readonly trouble: Problem | undefined;
  readonly dismiss: () => void;
  /** One cell; its problem stays with it. The same function throughout, so that rows need not be drawn anew. */
  readonly set: (id: string, column: Column, value: unknown) => Problem | undefined;
  /** The block's first `height` rows repeated down to its end. */
  readonly fill: (rect: Rect, height?: number) => void;
  readonly empty: (rect: Rect, note: string) => void;
  readonly paste: (cells: readonly (readonly string[])[], rect: Rect) => void;
  /** Gives the id of the new row; undefined when there is none. */
  readonly add: () => string | undefined;
  readonly remove: (ids: readonly string[]) => void;
}

/** What can be done to the table that is shown, each with the note that history has of it. `now` is what is shown at the time of a call. */
export function useChanges(now: RefObject<Shown>): GridChanges {
  const { edit } = useDraft();
  const today = useToday();
  const [notTaken, setNotTaken] = useState<readonly NotTaken[]>([]);
  const [trouble, setTrouble] = useState<Problem>();
  /** Whether anything was changed. */
  const make = (changes: Changes, note: string): boolean => {
    setNotTaken(changes.notTaken);
    const done = changes.edits.length > 0 ? edit(changes.edits, note) : undefined;
    setTrouble(done && !done.ok ? done.error[0] : undefined);
    return done?.ok ?? false;
  };
  const set = useCallback(
    (id: string, column: Column, value: unknown) => {
      const { fleet, table } = now.current;
      const done = edit(
        [{ op: 'set', table, id, fields: { [column.field.name]: value } }],
        `${column.label} of ${TABLES[table].one} ${nameOf(fleet, table, id)}`,
      );
      return done.ok ? undefined : done.error[0];
    },
    [now, edit],
  );
  return {
    notTaken,
    trouble,
    dismiss: () => {
      setNotTaken([]);
      setTrouble(undefined);
    },
    set,
    fill: (rect, height) => {
      const labels = now.current.columns.slice(rect.left, rect.right + 1).map((c) => c.label);
      make(fillChanges(now.current, rect, height), `Filled down ${labels.join(', ')}`);
    },
    empty: (rect, note) => make(clearChanges(now.current, rect), note),
    paste: (cells, rect) =>
      make(
        pasteChanges(now.current, cells, rect, today),
        `Pasted ${cells.length} rows into ${TABLES[now.current.table].many}`,
      ),
    add: () => {
      const { fleet, table } = now.current;
      const row = freshRow(fleet, table, today);
      const made = make({ edits: [{ op: 'put', table, row }], notTaken: [] }, `A new ${TABLES[table].one}`);
      return made ? row.id : undefined;
    },
    remove: (ids) => {
      const { fleet, table } = now.current;
      const edits: Edit[] = ids.map((id) => ({ op: 'remove', table, id }));
      const { one, many } = TABLES[table];
      const what = ids.length === 1 ? `${one} ${nameOf(fleet, table, ids[0] ?? '')}` : `${ids.length} ${many}`;
      make({ edits, notTaken: [] }, `Removed ${what}`);
    },
  };
}
