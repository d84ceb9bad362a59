// biome-ignore-all lint/a11y/useSemanticElements: a grid with a roving focus, laid out by itself, is no table
// biome-ignore-all lint/a11y/useFocusableInteractive: one cell at a time takes the focus; rows and headings never do
import { formatDays, type Window } from '@fillwright/core/fleet';
import { useId, useRef, useState } from 'react';
import { type Block, type Cell, cellsOf, inBlock, paint } from './week-grid.ts';

const DAYS = [0, 1, 2, 3, 4, 5, 6];
const HOURS = Array.from({ length: 24 }, (_, h) => h);
const WORDS: Readonly<Record<Cell, string>> = { in: 'in', out: 'out', part: 'part of it' };

export interface WeekEditorProps {
  readonly label: string;
  readonly value: readonly Window[] | null;
  readonly onValue: (value: Window[] | null) => void;
  readonly disabled?: boolean;
}

/**
 * Weekly times as seven days of 24 hours: drawn with a pointer, or with arrows, Shift to take more, and Space to put in or take out.
 * What needs minutes is written as text beside it.
 */
export function WeekEditor({ label, value, onValue, disabled }: WeekEditorProps) {
  const help = useId();
  const cells = cellsOf(value);
  const [block, setBlock] = useState<Block>({ day: 0, hour: 6, toDay: 0, toHour: 6 });
  const [drawing, setDrawing] = useState<boolean>();
  const table = useRef<HTMLDivElement>(null);

  const begin = (day: number, hour: number) => {
    if (disabled) return;
    setBlock({ day, hour, toDay: day, toHour: hour });
    setDrawing(cells[day]?.[hour] !== 'in');
  };
  const over = (event: React.PointerEvent) => {
    if (drawing === undefined) return;
    const under = document.elementFromPoint(event.clientX, event.clientY) as HTMLElement | null;
    const { day, hour } = under?.dataset ?? {};
    if (day !== undefined && hour !== undefined && table.current?.contains(under))
      setBlock((b) => ({ ...b, toDay: Number(day), toHour: Number(hour) }));
  };
  const end = () => {
    if (drawing !== undefined) onValue(paint(value, block, drawing));
    setDrawing(undefined);
  };
  const press = (event: React.KeyboardEvent) => {
    const step = { ArrowUp: [-1, 0], ArrowDown: [1, 0], ArrowLeft: [0, -1], ArrowRight: [0, 1] }[event.key];
    if (step) {
      event.preventDefault();
      const toDay = Math.min(6, Math.max(0, block.toDay + (step[0] ?? 0)));
      const toHour = Math.min(23, Math.max(0, block.toHour + (step[1] ?? 0)));
      setBlock(event.shiftKey ? { ...block, toDay, toHour } : { day: toDay, hour: toHour, toDay, toHour });
      table.current?.querySelector<HTMLElement>(`[data-day="${toDay}"][data-hour="${toHour}"]`)?.focus();
    } else if ((event.key === ' ' || event.key === 'Enter') && !disabled) {
      event.preventDefault();
      onValue(paint(value, block, cells[block.day]?.[block.hour] !== 'in'));
    }
  };
  return (
    <div className="week">
      <p id={help} className="unseen">
        Arrows move, Shift with arrows takes more hours, Space puts them in or takes them out.
      </p>
      <div
        ref={table}
        role="grid"
        aria-label={`${label}, hours of the week`}
        aria-describedby={help}
        aria-readonly={disabled}
        className="week-grid"
        tabIndex={-1}
        onPointerMove={over}
        onPointerUp={end}
        onPointerCancel={() => setDrawing(undefined)}
        onKeyDown={press}
      >
        <div role="row" className="week-row">
          <span role="columnheader" className="week-day">
            <span className="unseen">Day</span>
          </span>
          {HOURS.map((hour) => (
            <span key={hour} role="columnheader" className="week-hour">
              {hour % 3 === 0 ? hour : <span className="unseen">{hour}</span>}
            </span>
          ))}
        </div>
        {DAYS.map((day) => (
          <div key={day} role="row" className="week-row">
            <span role="rowheader" className="week-day">
              {formatDays([day])}
            </span>
            {HOURS.map((hour) => {
              const marked = inBlock(block, day, hour);
              const is = drawing !== undefined && marked ? (drawing ? 'in' : 'out') : (cells[day]?.[hour] ?? 'out');
              return (
                <span
                  key={hour}
                  role="gridcell"
                  data-day={day}
                  data-hour={hour}
                  className={`week-cell ${is}${marked ? ' marked' : ''}`}
                  tabIndex={day === block.toDay && hour === block.toHour ? 0 : -1}
                  aria-selected={marked}
                  aria-label={`${formatDays([day])} ${hour}:00, ${WORDS[is]}`}
                  onPointerDown={(event) => {
                    event.currentTarget.releasePointerCapture(event.pointerId);
                    begin(day, hour);
                  }}
                />
              );
            })}
          </div>
        ))}
      </div>
      <div className="row">
        <button type="button" className="button" disabled={disabled || value === null} onClick={() => onValue(null)}>
          Always
        </button>
        <button type="button" className="button" disabled={disabled || value?.length === 0} onClick={() => onValue([])}>
          Never
        </button>
      </div>
    </div>
  );
}
