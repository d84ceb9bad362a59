import { type Fleet, unitOf } from '@fillwright/core/fleet';
import { Heads, right } from '../../look/heads.tsx';
import { volumeNumber } from '../../show/amounts.ts';
import { ticks } from './ticks.ts';

const [W, H, LEFT, BOTTOM, TOP, RIGHT] = [560, 246, 52, 34, 26, 14];
const UL_PER = { gal: 3_785_411.784, l: 1_000_000 } as const;

/** Volume over time since the hose was armed, with the limit as a dashed line, and the points as a table behind it. */
export function FlowCurve({
  fleet,
  curve,
  limit,
}: {
  fleet: Fleet;
  curve: readonly (readonly [number, number])[];
  limit: number;
}) {
  const unit = unitOf(fleet.settings);
  const last = curve.at(-1);
  if (!last || curve.length < 2) return <p className="quiet">No flow curve was kept for this fill.</p>;
  const mostS = Math.max(1, ...curve.map(([s]) => s));
  const most = Math.max(last[1], ...curve.map(([, v]) => v)) / UL_PER[unit];
  const limitIn = limit / UL_PER[unit];
  // The limit is drawn where it is near; far above it would flatten the curve.
  const top = limitIn <= most * 1.6 ? Math.max(most, limitIn) * 1.05 : most * 1.1 || 1;
  const x = (s: number) => LEFT + (s / mostS) * (W - LEFT - RIGHT);
  const y = (v: number) => H - BOTTOM - (v / top) * (H - BOTTOM - TOP);
  const path = curve.map(([s, v], i) => `${i === 0 ? 'M' : 'L'}${x(s).toFixed(1)} ${y(v / UL_PER[unit]).toFixed(1)}`);
  return (
    <figure className="curve">
      <svg
        viewBox={`0 0 ${W} ${H}`}
        role="img"
        aria-label={`Volume over ${Math.round(mostS)} seconds; the table below has the points`}
      >
        {ticks(top).map((v) => (
          <g key={v}>
            <path className="grid" d={`M${LEFT} ${y(v)} H${W - RIGHT}`} />
            <text x={LEFT - 8} y={y(v) + 4} textAnchor="end">
              {v}
            </text>
          </g>
        ))}
        {ticks(mostS, 6).map((s) => (
          <g key={s}>
            <path className="grid" d={`M${x(s)} ${H - BOTTOM} v5`} />
            <text x={x(s)} y={H - BOTTOM + 18} textAnchor="middle">
              {s}
            </text>
          </g>
        ))}
        <text x={LEFT - 8} y={12} textAnchor="end">
          {unit}
        </text>
        <text x={W - RIGHT} y={H - 2} textAnchor="end">
          seconds since the hose was armed
        </text>
        {limitIn <= top && (
          <>
            <path className="limit" d={`M${LEFT} ${y(limitIn)} H${W - RIGHT}`} />
            <text x={W - RIGHT} y={y(limitIn) - 5} textAnchor="end">
              limit
            </text>
          </>
        )}
        <path className="flowed" d={path.join(' ')} />
      </svg>
      <details>
        <summary>Points of the curve</summary>
        <table className="table">
          <Heads of={[right('Seconds'), right(`Volume (${unit})`)]} />
          <tbody>
            {curve.map(([s, v]) => (
              <tr key={`${s} ${v}`}>
                <td className="number">{s.toFixed(1)}</td>
                <td className="number">{volumeNumber(fleet, Math.round(v), 2)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </details>
    </figure>
  );
}
