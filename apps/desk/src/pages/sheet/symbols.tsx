import type { Hose, Pump, Tank, Terminal } from '@fillwright/core/fleet';
import type { Placed } from './layout.ts';

/** The parts as a draughtsman draws them, inside their own boxes. Pumps: circle and triangle pointing the way the fuel flows (ISO 14617). */

const short = (text: string, most: number) => (text.length > most ? `${text.slice(0, most - 1)}…` : text);

export function IslandSymbol({ at, name }: { at: Placed; name: string }) {
  return (
    <>
      <rect className="island" x={at.x} y={at.y} width={at.w} height={at.h} rx={22} />
      <text className="label strong" x={at.x + 16} y={at.y + 23}>
        {short(name, Math.floor(at.w / 8))}
      </text>
    </>
  );
}

export function TerminalSymbol({ at, terminal }: { at: Placed; terminal: Terminal }) {
  const keys = [0, 1, 2].flatMap((r) => [0, 1, 2].map((c) => [c, r] as const));
  return (
    <>
      <rect className="body" x={at.x} y={at.y} width={at.w} height={at.h} rx={4} />
      <rect className="display" x={at.x + 8} y={at.y + 9} width={at.w - 44} height={28} rx={2} />
      {keys.map(([c, r]) => (
        <rect
          key={`${c}${r}`}
          className="key"
          x={at.x + at.w - 28 + c * 8}
          y={at.y + 10 + r * 9}
          width={5}
          height={6}
        />
      ))}
      <text className="label small" x={at.x + at.w / 2} y={at.y + at.h - 9} textAnchor="middle">
        {short(terminal.name, 14)}
      </text>
    </>
  );
}

export function HoseSymbol({ at, hose, product }: { at: Placed; hose: Hose; product: string }) {
  const m = at.x + at.w / 2;
  const b = at.y + at.h;
  return (
    <>
      <rect
        className={hose.active ? 'body' : 'body out'}
        x={at.x + 2}
        y={at.y + 2}
        width={at.w - 4}
        height={at.h - 4}
        rx={6}
      />
      <circle className="number" cx={m} cy={at.y + 20} r={13} />
      <text className="label strong" x={m} y={at.y + 25} textAnchor="middle">
        {hose.number}
      </text>
      <text className="label small" x={m} y={at.y + 48} textAnchor="middle">
        {short(product, 7)}
      </text>
      <path className="pipe" d={`M${m} ${b} V${b - 12}`} />
      <rect className="meter" x={m - 8} y={b - 28} width={16} height={16} />
      <path className="pipe" d={`M${m - 4} ${b - 16} L${m + 4} ${b - 24}`} />
      <path className="hose" d={`M${m} ${b - 28} V${b - 40} H${m + 18} V${b - 24}`} />
      <path className="nozzle" d={`M${m + 15} ${b - 26} h6 v9 l-8 9 l-3 -2.5 l5 -7 z`} />
    </>
  );
}

export function PumpSymbol({ at, pump }: { at: Placed; pump: Pump }) {
  const [x, y, r] = [at.x + at.w / 2, at.y + at.h / 2 - 1, 14];
  return (
    <>
      {/* A finger needs more than the circle: the name belongs to the part too. */}
      <rect className="hit" x={at.x - 2} y={at.y - 2} width={at.w + 52} height={at.h + 14} />
      <path className="pipe" d={`M${x} ${at.y + at.h} V${at.y}`} />
      <circle className="body" cx={x} cy={y} r={r} />
      <path className="flow" d={`M${x - r * 0.86} ${y + r * 0.5} L${x} ${y - r} L${x + r * 0.86} ${y + r * 0.5}`} />
      {pump.kind === 'suction' ? (
        // Under the island its neighbour may stand close: the name goes below, beside the line.
        <text className="label small haloed" x={x + 6} y={at.y + at.h + 9}>
          {short(pump.name, 14)}
        </text>
      ) : (
        <text className="label small haloed" x={x + r + 4} y={y - 4}>
          {short(pump.name, 14)}
        </text>
      )}
    </>
  );
}

export function TankSymbol({
  at,
  tank,
  product,
  words,
  part,
}: {
  at: Placed;
  tank: Tank;
  product: string;
  words: string;
  part: number | null;
}) {
  const clip = `tank-${tank.id}`;
  const level = part === null ? 0 : Math.max(0, Math.min(1, part)) * (at.h - 4);
  return (
    <>
      <clipPath id={clip}>
        <rect x={at.x + 2} y={at.y + 2} width={at.w - 4} height={at.h - 4} rx={22} />
      </clipPath>
      <rect className="body" x={at.x} y={at.y} width={at.w} height={at.h} rx={24} />
      {part !== null && (
        <>
          <rect
            className="level"
            clipPath={`url(#${clip})`}
            x={at.x}
            y={at.y + at.h - 2 - level}
            width={at.w}
            height={level}
          />
          <path className="surface" clipPath={`url(#${clip})`} d={`M${at.x} ${at.y + at.h - 2 - level} h${at.w}`} />
        </>
      )}
      <text className="label strong haloed" x={at.x + at.w / 2} y={at.y + 28} textAnchor="middle">
        {short(tank.name, 16)}
      </text>
      <text className="label small haloed" x={at.x + at.w / 2} y={at.y + 46} textAnchor="middle">
        {short(product, 18)}
      </text>
      <text className="label small haloed" x={at.x + at.w / 2} y={at.y + 64} textAnchor="middle">
        {words}
      </text>
    </>
  );
}
