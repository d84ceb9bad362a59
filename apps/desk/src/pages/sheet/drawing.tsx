import type { Finding } from '@fillwright/core/findings';
import type { Fleet } from '@fillwright/core/fleet';
import { type KeyboardEvent, useEffect, useMemo, useRef, useState } from 'react';
import { findingsAt } from '../../data/findings.ts';
import { plural, volumeNumber, volumeText } from '../../show/amounts.ts';
import { layout, type PartRef, type Placed } from './layout.ts';
import { partName } from './names.ts';
import { neighbour, readingOrder, same } from './neighbour.ts';
import { HoseSymbol, IslandSymbol, PumpSymbol, TankSymbol, TerminalSymbol } from './symbols.tsx';

export interface DrawingProps {
  readonly fleet: Fleet;
  readonly site: string;
  readonly findings: readonly Finding[];
  /** Last known volume of a tank in microlitres. */
  readonly levels: ReadonlyMap<string, number>;
  readonly chosen: PartRef | undefined;
  readonly onChoose: (part: PartRef) => void;
}

/** What stands against a part, in words: '2 errors', '1 warning'; notes are not marked on the sheet. */
function marked(findings: readonly Finding[]): { is: 'error' | 'warning'; words: string } | undefined {
  for (const is of ['error', 'warning'] as const) {
    const n = findings.filter((f) => f.severity === is).length;
    if (n > 0) return { is, words: plural(n, is) };
  }
  return undefined;
}

// No fieldset is a drawing.
const AS_GROUP = { role: 'group' } as const;

/** On a part's upper corner; beside a pump, so that neither it nor its name is covered. */
const markPlace = (p: Placed): string =>
  p.table === 'pumps' ? `translate(${p.x + p.w + 12} ${p.y + 18})` : `translate(${p.x + p.w - 8} ${p.y - 6})`;

const keyOf = (p: PartRef) => `${p.table}/${p.id}`;

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

  return (
    <div className="drawing-scroll">
      <svg
        className="sheet-drawing"
        viewBox={`0 0 ${drawn.width} ${drawn.height}`}
        style={{ minWidth: Math.round(drawn.width * 0.66), maxWidth: Math.round(drawn.width * 1.25) }}
        {...AS_GROUP}
        aria-label={`Sheet of ${fleet.sites.get(site)?.name ?? site}; arrow keys move, Enter opens a part`}
      >
        {drawn.loose && (
          <>
            <rect
              className="island loose"
              x={drawn.loose.x}
              y={drawn.loose.y}
              width={drawn.loose.w}
              height={drawn.loose.h}
              rx={22}
            />
            <text className="label small" x={drawn.loose.x + 16} y={drawn.loose.y + 22}>
              On no island
            </text>
          </>
        )}
        {parts.filter((p) => p.table === 'islands').map((p) => part(p))}
        <g>
          {drawn.lines.map((line) => (
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
        {parts.filter((p) => p.table !== 'islands').map((p) => part(p))}
      </svg>
    </div>
  );

  function part(p: Placed) {
    const mark = marked(findingsAt(findings, p.table, p.id));
    const name = partName(fleet, p);
    // No HTML button can stand inside an svg.
    const acts = {
      role: 'button',
      tabIndex: stop && same(p, stop) ? 0 : -1,
      'aria-label': mark ? `${name}, ${mark.words}` : name,
      'aria-pressed': same(p, chosen),
      onClick: () => onChoose({ table: p.table, id: p.id }),
      onFocus: () => setRoving(p),
      onKeyDown: (event: KeyboardEvent) => press(event, p),
    };
    return (
      <g
        key={keyOf(p)}
        ref={(node) => {
          if (node) nodes.current.set(keyOf(p), node);
          else nodes.current.delete(keyOf(p));
        }}
        className={`part ${p.table}`}
        {...acts}
      >
        <title>{name}</title>
        {symbol(p)}
        <rect className="ring" x={p.x - 3} y={p.y - 3} width={p.w + 6} height={p.h + 6} rx={8} />
        {mark && (
          <g className={`sheet-mark ${mark.is}`} transform={markPlace(p)}>
            <rect x={-14} y={-2} width={mark.words.length * 6.4 + 24} height={18} rx={4} />
            <path
              d={
                mark.is === 'error'
                  ? 'M-7 1.5h4l3 3v4l-3 3h-4l-3-3v-4zM-5 4v2.6M-5 8.8v.2'
                  : 'M-5 2 0 11.4h-10zM-5 5.4v2.4M-5 9.4v.2'
              }
            />
            <text x={4} y={11}>
              {mark.words}
            </text>
          </g>
        )}
      </g>
    );
  }

  function symbol(p: Placed) {
    const product = (id: string) => {
      const row = fleet.products.get(id);
      return row ? row.short || row.name : 'no product';
    };
    switch (p.table) {
      case 'islands':
        return <IslandSymbol at={p} name={fleet.islands.get(p.id)?.name ?? p.id} />;
      case 'terminals': {
        const row = fleet.terminals.get(p.id);
        return row && <TerminalSymbol at={p} terminal={row} />;
      }
      case 'hoses': {
        const row = fleet.hoses.get(p.id);
        return row && <HoseSymbol at={p} hose={row} product={product(row.product)} />;
      }
      case 'pumps': {
        const row = fleet.pumps.get(p.id);
        return row && <PumpSymbol at={p} pump={row} />;
      }
      case 'tanks': {
        const row = fleet.tanks.get(p.id);
        if (!row) return null;
        const level = levels.get(row.id);
        const words =
          level === undefined
            ? `holds ${volumeText(fleet, row.capacity, 0)}`
            : `${volumeNumber(fleet, level, 0)} of ${volumeText(fleet, row.capacity, 0)}`;
        return (
          <TankSymbol
            at={p}
            tank={row}
            product={product(row.product)}
            words={words}
            part={level === undefined || row.capacity === 0 ? null : level / row.capacity}
          />
        );
      }
    }
  }
}
