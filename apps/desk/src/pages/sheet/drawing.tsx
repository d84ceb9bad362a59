import type { Finding } from '@fillwright/core/findings';
import type { Fleet } from '@fillwright/core/fleet';
import { type KeyboardEvent, useEffect, useMemo, useRef, useState } from 'react';
import { findingsAt } from '../../data/findings.ts';
import { DrawnPart } from './drawn-part.tsx';
import { type Layout, layout, type PartRef, type Placed } from './layout.ts';
import { neighbour, readingOrder, same } from './neighbour.ts';

export interface DrawingProps {
  readonly fleet: Fleet;
  readonly site: string;
  readonly findings: readonly Finding[];
  /** Last known volume of a tank in microlitres. */
  readonly levels: ReadonlyMap<string, number>;
  readonly chosen: PartRef | undefined;
  readonly onChoose: (part: PartRef) => void;
}

// No fieldset is a drawing.
const AS_GROUP = { role: 'group' } as const;

const keyOf = (p: PartRef) => `${p.table}/${p.id}`;

/** The sheet of a site as a drawing: every part a button, walked by the arrow keys. */
export function Drawing({ fleet, site, findings, levels, chosen, onChoose }: DrawingProps) {
  const drawn = useMemo(() => layout(fleet, site), [fleet, site]);
  const [roving, setRoving] = useState<PartRef | undefined>(chosen);
  const nodes = useRef(new Map<string, SVGGElement>());
  useEffect(() => {
    if (chosen) setRoving(chosen);
  }, [chosen]);
  const parts = readingOrder(drawn.parts);
  const stop = parts.find((p) => same(p, roving)) ?? parts[0];

  const press = (event: KeyboardEvent, part: Placed) => {
    if (event.key === 'Enter' || event.key === ' ') {
      event.preventDefault();
      onChoose({ table: part.table, id: part.id });
      return;
    }
    const next = neighbour(drawn.parts, part, event.key);
    if (!next) return;
    event.preventDefault();
    setRoving(next);
    nodes.current.get(keyOf(next))?.focus();
  };

  const part = (p: Placed) => (
    <DrawnPart
      key={keyOf(p)}
      fleet={fleet}
      part={p}
      level={p.table === 'tanks' ? levels.get(p.id) : undefined}
      findings={findingsAt(findings, p.table, p.id)}
      chosen={same(p, chosen)}
      stop={stop !== undefined && same(p, stop)}
      node={(node) => {
        if (node) nodes.current.set(keyOf(p), node);
        else nodes.current.delete(keyOf(p));
      }}
      onChoose={() => onChoose({ table: p.table, id: p.id })}
      onFocus={() => setRoving(p)}
      onKeyDown={(event) => press(event, p)}
    />
  );
  return (
    <div className="drawing-scroll">
      <svg
        className="sheet-drawing"
        viewBox={`0 0 ${drawn.width} ${drawn.height}`}
        style={{ minWidth: Math.round(drawn.width * 0.66), maxWidth: Math.round(drawn.width * 1.25) }}
        {...AS_GROUP}
        aria-label={`Sheet of ${fleet.sites.get(site)?.name ?? site}; arrow keys move, Enter opens a part`}
      >
        {drawn.loose && <Loose at={drawn.loose} />}
        {parts.filter((p) => p.table === 'islands').map(part)}
        <Lines lines={drawn.lines} />
        {parts.filter((p) => p.table !== 'islands').map(part)}
      </svg>
    </div>
  );
}

/** Parts that stand on no island. */
function Loose({ at }: { at: NonNullable<Layout['loose']> }) {
  return (
    <>
      <rect className="island loose" x={at.x} y={at.y} width={at.w} height={at.h} rx={22} />
      <text className="label small" x={at.x + 16} y={at.y + 22}>
        On no island
      </text>
    </>
  );
}

/** The lines that fuel takes between the parts, with a dot where they meet. */
function Lines({ lines }: { lines: Layout['lines'] }) {
  return (
    <g>
      {lines.map((line) => (
        <g key={line.key} className={`line ${line.kind}`}>
          {line.segments.map((s) => (
            <path key={`${s.x1} ${s.y1} ${s.x2} ${s.y2}`} d={`M${s.x1} ${s.y1} L${s.x2} ${s.y2}`} />
          ))}
          {line.joints.map((j) => (
            <circle key={`${j.x} ${j.y}`} cx={j.x} cy={j.y} r={3} />
          ))}
        </g>
      ))}
    </g>
  );
}
