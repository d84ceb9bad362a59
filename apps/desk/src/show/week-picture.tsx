import type React from 'react';
import { useState } from 'react';
import { type Block, timesOf } from './week-blocks.ts';
import { H, minuteAt, ROW, startOf, W, WeekFrame, WeekLines, x, y } from './week-frame.tsx';

/** Stretches of the week that say the same, drawn alike. */
export interface WeekCell {
  readonly blocks: readonly Block[];
  /** What they say: 'up to 40 gal, by per fill of “Day crew”'. */
  readonly says: string;
  /** The class of their shade, and which pattern lies over it. */
  readonly shade: string;
  readonly pattern: string | null;
  /** Written on each part with room for it, strong or quiet. */
  readonly sign: string;
  readonly quiet?: boolean;
  /** What choosing a minute of them shows; null where there is nothing to show. */
  readonly shows: string | null;
}

const DIGIT = 7.2;
const wordsOf = ({ blocks, says }: WeekCell) => `${timesOf(blocks)}: ${says}`;

/**
 * Seven rows of 24 hours. A cell is read where somebody points at it or goes to it by keys, and a minute of it chosen. Shade, pattern and sign say
 * the same, so that none is missed.
 */
export function WeekPicture(props: {
  label: string;
  cells: readonly WeekCell[];
  /** Patterns by name, as `<pattern>` with the name in its id. */
  patterns: React.ReactNode;
  pick: (minute: number) => void;
  /** What stands below: the words of the cell that is pointed at, or how to use it. */
  caption: (words: string | undefined) => React.ReactNode;
}) {
  const { label, cells, patterns, pick, caption } = props;
  const [at, setAt] = useState<string>();
  const lit = cells.find((cell) => cell.says === at);
  const choosing = (cell: WeekCell) => ({
    role: 'button',
    tabIndex: 0,
    'aria-label': `${wordsOf(cell)}. Show ${cell.shows}`,
    onFocus: () => setAt(cell.says),
    onClick: (e: React.MouseEvent<SVGGElement>) => pick(minuteAt(e, cell.blocks)),
    onKeyDown: (e: React.KeyboardEvent) => {
      if (e.key !== 'Enter' && e.key !== ' ') return;
      e.preventDefault();
      pick(startOf(cell.blocks));
    },
  });
  return (
    <figure className="week-map">
      {/* biome-ignore lint/a11y/useSemanticElements: a drawing with buttons in it is no fieldset */}
      <svg viewBox={`0 0 ${W} ${H}`} role="group" aria-label={`${label}, over the week`}>
        <defs>{patterns}</defs>
        <WeekFrame />
        {cells.map((cell) => (
          <g key={cell.says} onPointerEnter={() => setAt(cell.says)} {...(cell.shows !== null && choosing(cell))}>
            {cell.blocks.map((b) => (
              <g key={`${b.day} ${b.from}`} className={`week-block ${cell.shade}${cell === lit ? ' lit' : ''}`}>
                <Box block={b} />
                {cell.pattern !== null && <Box block={b} fill={`url(#${cell.pattern})`} />}
              </g>
            ))}
          </g>
        ))}
        <WeekLines />
        {cells.map((cell) => (
          <Signs key={cell.says} cell={cell} />
        ))}
      </svg>
      {caption(lit && wordsOf(lit))}
    </figure>
  );
}

const Box = ({ block: b, fill }: { block: Block; fill?: string }) => (
  <rect x={x(b.from)} y={y(b.day)} width={x(b.to) - x(b.from)} height={ROW} {...(fill && { style: { fill } })} />
);

/** Over the lines, and under no pointer. */
const Signs = ({ cell: { sign, quiet, blocks } }: { cell: WeekCell }) =>
  sign !== '' &&
  blocks
    .filter((b) => x(b.to) - x(b.from) >= sign.length * DIGIT + 6)
    .map((b) => (
      <text
        key={`${b.day} ${b.from}`}
        className={quiet ? 'week-label' : 'week-figure'}
        x={(x(b.from) + x(b.to)) / 2}
        y={y(b.day) + ROW / 2 + 4.5}
        textAnchor="middle"
      >
        {sign}
      </text>
    ));

/** Lines that lie over a shade, each a path within a square of so many units. */
export const Hatch = ({ id, side, path }: { id: string; side: number; path: string }) => (
  <pattern id={id} width={side} height={side} patternUnits="userSpaceOnUse">
    <path className="week-line" d={path} />
  </pattern>
);

/** The button in a table that does what choosing a cell does. */
export const PickFirst = ({ blocks, pick }: { blocks: readonly Block[]; pick: (minute: number) => void }) => (
  <button type="button" className="button plain" onClick={() => pick(startOf(blocks))}>
    Who
  </button>
);
