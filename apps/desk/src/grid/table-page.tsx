import { rowsOf, TABLES, type TableName } from '@fillwright/core/fleet';
import { type ReactNode, useCallback, useEffect, useRef } from 'react';
import { useDraft } from '../data/draft.ts';
import { nameOf, useWhere } from '../data/where.ts';
import { Grid } from './grid.tsx';

export interface TableTab {
  readonly table: TableName;
  readonly label: string;
  readonly leaveOut?: readonly string[];
  /** What stands in the panel beside the grid while a row is open. */
  readonly panel: (id: string) => ReactNode;
}

/** A page of several tables: a switch between them, the grid, and beside it the panel of the row that is open. The address says which. */
export function TablePage({ title, tabs, intro }: { title: string; tabs: readonly TableTab[]; intro?: string }) {
  const { fleet } = useDraft();
  const [where, change] = useWhere();
  const tab = tabs.find((t) => t.table === where.show) ?? tabs[0];
  const show = useCallback((id: string) => change({ id, field: undefined }), [change]);
  if (!tab) return null;
  const openId = where.id !== undefined && rowsOf(fleet, tab.table).has(where.id) ? where.id : undefined;
  return (
    <div className="page whole">
      <div className="page-head">
        <div>
          <h1>{title}</h1>
          {intro && <p className="quiet small">{intro}</p>}
        </div>
        {/* biome-ignore lint/a11y/useSemanticElements: a fieldset draws and sizes itself in its own way */}
        <div className="switch" role="group" aria-label={`Tables of ${title}`}>
          {tabs.map((t) => (
            <button
              key={t.table}
              type="button"
              aria-pressed={t === tab}
              onClick={() => change({ show: t.table, id: undefined, field: undefined })}
            >
              {t.label}
            </button>
          ))}
        </div>
      </div>
      <div className="table-page">
        <Grid
          key={tab.table}
          table={tab.table}
          {...(tab.leaveOut ? { leaveOut: tab.leaveOut } : {})}
          onOpen={show}
          openId={openId}
          lookAt={openId}
        />
        {openId !== undefined && (
          <SidePanel
            key={openId}
            label={`${TABLES[tab.table].one} ${nameOf(fleet, tab.table, openId)}`}
            title={nameOf(fleet, tab.table, openId)}
            onClose={() => change({ id: undefined, field: undefined })}
          >
            {tab.panel(openId)}
          </SidePanel>
        )}
      </div>
    </div>
  );
}

function SidePanel(props: { label: string; title: string; onClose: () => void; children: ReactNode }) {
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => heading.current?.focus({ preventScroll: true }), []);
  return (
    <aside
      className="side panel"
      aria-label={props.label}
      onKeyDown={(event) => {
        if (event.key === 'Escape' && !event.defaultPrevented) props.onClose();
      }}
    >
      <div className="spread side-head">
        <h2 ref={heading} tabIndex={-1}>
          {props.title}
        </h2>
        <button type="button" className="button plain" onClick={props.onClose}>
          Close
        </button>
      </div>
      <div className="stack">{props.children}</div>
    </aside>
  );
}
