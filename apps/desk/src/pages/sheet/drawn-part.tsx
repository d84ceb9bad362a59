import type { Finding } from '@fillwright/core/findings';
import type { Fleet } from '@fillwright/core/fleet';
import type { KeyboardEvent, Ref } from 'react';
import { plural } from '../../show/amounts.ts';
import type { Placed } from './layout.ts';
import { partName } from './names.ts';
import { PartSymbol } from './part-symbol.tsx';

interface Marked {
  readonly is: 'error' | 'warning';
  readonly words: string;
}

/** What stands against a part, in words: '2 errors', '1 warning'; notes are not marked on the sheet. */
function marked(findings: readonly Finding[]): Marked | undefined {
  for (const is of ['error', 'warning'] as const) {
    const n = findings.filter((f) => f.severity === is).length;
    if (n > 0) return { is, words: plural(n, is) };
  }
  return undefined;
}

/** A part of the sheet as a button: its symbol, the ring of the chosen one, and what stands against it. */
export function DrawnPart(props: {
  fleet: Fleet;
  part: Placed;
  level: number | undefined;
  /** Of this part alone. */
  findings: readonly Finding[];
  chosen: boolean;
  /** The one part that the tab key stops at. */
  stop: boolean;
  node: Ref<SVGGElement>;
  onChoose: () => void;
  onFocus: () => void;
  onKeyDown: (event: KeyboardEvent) => void;
}) {
  const { fleet, part: p } = props;
  const mark = marked(props.findings);
  const name = partName(fleet, p);
  // No HTML button can stand inside an svg.
  const acts = {
    role: 'button',
    tabIndex: props.stop ? 0 : -1,
    'aria-label': mark ? `${name}, ${mark.words}` : name,
    'aria-pressed': props.chosen,
    onClick: props.onChoose,
    onFocus: props.onFocus,
    onKeyDown: props.onKeyDown,
  };
  return (
    <g ref={props.node} className={`part ${p.table}`} {...acts}>
      <title>{name}</title>
      <PartSymbol fleet={fleet} at={p} level={props.level} />
      <rect className="ring" x={p.x - 3} y={p.y - 3} width={p.w + 6} height={p.h + 6} rx={8} />
      {mark && <PartMark part={p} mark={mark} />}
    </g>
  );
}

/** On a part's upper corner; beside a pump, so that neither it nor its name is covered. */
const markPlace = (p: Placed): string =>
  p.table === 'pumps' ? `translate(${p.x + p.w + 12} ${p.y + 18})` : `translate(${p.x + p.w - 8} ${p.y - 6})`;

const MARK_SHAPES = {
  error: 'M-7 1.5h4l3 3v4l-3 3h-4l-3-3v-4zM-5 4v2.6M-5 8.8v.2',
  warning: 'M-5 2 0 11.4h-10zM-5 5.4v2.4M-5 9.4v.2',
} as const;

function PartMark({ part, mark }: { part: Placed; mark: Marked }) {
  return (
    <g className={`sheet-mark ${mark.is}`} transform={markPlace(part)}>
      <rect x={-14} y={-2} width={mark.words.length * 6.4 + 24} height={18} rx={4} />
      <path d={MARK_SHAPES[mark.is]} />
      <text x={4} y={11}>
        {mark.words}
      </text>
    </g>
  );
}
