import type { Problem } from '@fillwright/core/errors';
import { fieldOf, type Layout, type LayoutName, type RowOf } from '@fillwright/core/fleet';
import type { TerminalPlan } from '@fillwright/core/island';
import { useState } from 'react';
import { useDraft } from '../../data/draft.ts';
import { useMay } from '../../data/me.ts';
import { ProblemNote } from '../../look/problem-note.tsx';
import { usualOf } from './layout-edit.ts';
import { LayoutEditor } from './layout-editor.tsx';

export const LAYOUT_TITLES: Readonly<Record<LayoutName, string>> = {
  idle: 'While nobody is there',
  flowing: 'While fuel flows',
  filled: 'After a fill',
  receipt: 'Receipt',
};

interface FaceLayoutProps {
  readonly row: RowOf<'terminals'>;
  readonly name: LayoutName;
  readonly plan: TerminalPlan;
  readonly wrong: ReadonlyMap<number, string>;
  readonly onTyping: (layout: Layout | undefined) => void;
  /** Fields of the usual layout, which a layout of one's own does without. */
  readonly children?: React.ReactNode;
}

/** How one layout of a terminal is made: the usual one with its few texts, or rows of one's own. */
export function FaceLayout({ row, name, plan, wrong, onTyping, children }: FaceLayoutProps) {
  const { edit } = useDraft();
  const may = useMay('editor');
  const [problem, setProblem] = useState<Problem>();
  const field = `${name}Layout` as const;
  const own = row[field];
  const put = (value: Layout | null): Problem | undefined => {
    const edits = [{ op: 'set' as const, table: 'terminals' as const, id: row.id, fields: { [field]: value } }];
    const done = edit(edits, `${fieldOf('terminals', field)?.label} of terminal ${row.name}`);
    const wrong = done.ok ? undefined : done.error[0];
    setProblem(wrong);
    return wrong;
  };
  const title = LAYOUT_TITLES[name];
  return (
    <section className="face-layout" aria-label={`Layout: ${title}`}>
      <div className="spread">
        <h3>
          {title}: {own === null ? 'the usual layout' : 'a layout of its own'}
        </h3>
        {may && (
          <button type="button" className="button" onClick={() => put(own === null ? usualOf(name, plan) : null)}>
            {own === null ? 'Draw a layout' : 'Back to the usual'}
          </button>
        )}
      </div>
      {problem && <ProblemNote problem={problem} />}
      {own === null ? (
        children
      ) : (
        <LayoutEditor
          name={name}
          title={title}
          layout={own as Layout}
          languages={row.languages}
          disabled={!may}
          wrong={wrong}
          onLayout={put}
          onTyping={onTyping}
        />
      )}
    </section>
  );
}
