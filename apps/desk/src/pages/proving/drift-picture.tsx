import { meterDrift } from '@fillwright/core/metering';
import type { Proving } from '@fillwright/wire';
import * as Plot from '@observablehq/plot';
import { useCallback, useMemo } from 'react';
import { Heads, right } from '../../look/heads.tsx';
import { Picture } from '../../show/picture.tsx';
import { siteMoment } from '../../show/site-time.ts';
import { signedPercent } from './verdict.tsx';

const proofOf = (p: Proving) => ({
  at: p.at,
  verdict: p.judged.verdict,
  pulsesMilli: p.run.pulsesMilli,
  truePulsesMilli: p.judged.truePulsesMilli,
});

/** Errors as found, with the tolerance about them, and the meter's own drift, which adjustments do not hide. */
export function DriftPicture({ runs, zone }: { runs: readonly Proving[]; zone: string }) {
  const drift = useMemo(() => meterDrift(runs.map(proofOf)), [runs]);
  const found = useMemo(
    () =>
      [...runs]
        .filter((r) => r.judged.deliveredPercent !== null)
        .sort((a, b) => a.at - b.at)
        .map((r) => {
          const full = r.judged.drafts.find((d) => d.kind === 'normal');
          const i = full ? r.judged.drafts.indexOf(full) : 0;
          const shown = (r.run.drafts[i]?.indicatedMilli ?? 0) * (r.run.unit === 'gal' ? 231 : 1000);
          return {
            id: r.id,
            at: r.at,
            error: r.judged.deliveredPercent as number,
            allowed: full && shown > 0 ? (100_000 * full.tolerance) / shown : 0,
            verdict: r.judged.verdict,
          };
        }),
    [runs],
  );
  const draw = useCallback(
    (width: number) =>
      Plot.plot({
        width,
        height: 240,
        marginLeft: 60,
        x: { type: 'utc', label: null, nice: true },
        y: { label: '% of what the meter shows, plus: gives away', grid: true, ticks: 5 },
        marks: [
          Plot.ruleX(found, {
            x: 'at',
            y1: (f) => -f.allowed,
            y2: (f) => f.allowed,
            stroke: 'var(--line)',
            strokeWidth: 14,
          }),
          Plot.ruleY([0], { stroke: 'var(--ink)' }),
          Plot.line(drift.points, {
            x: 'at',
            y: 'percent',
            stroke: 'var(--ink)',
            strokeWidth: 1.2,
            strokeDasharray: '5 3',
          }),
          Plot.dot(found, {
            x: 'at',
            y: 'error',
            r: 5,
            fill: 'var(--sheet)',
            stroke: (f) => (f.verdict === 'fails' ? 'var(--error)' : 'var(--ink)'),
            symbol: (f: { verdict: string }) => (f.verdict === 'fails' ? 'times' : 'circle'),
            strokeWidth: 2,
          }),
        ],
      }),
    [drift, found],
  );
  const slope = drift.perYear === null ? 'too few proofs for a slope' : `${signedPercent(drift.perYear)} a year`;
  const words = `${found.length} proofs; error as found from ${signedPercent(Math.min(...found.map((f) => f.error)))} to ${signedPercent(Math.max(...found.map((f) => f.error)))}; the meter's own drift: ${slope}.`;
  if (found.length === 0) return null;
  return (
    <div>
      <Picture
        title="Error as found (dots; a cross fails), what was allowed (grey), and the meter’s own drift since its first proof (dashes)"
        words={words}
        draw={draw}
      >
        <table className="table">
          <caption className="unseen">Proofs of this hose</caption>
          <Heads of={['At, by the site’s clock', right('Error as found'), right('Allowed'), right('Own drift')]} />
          <tbody>
            {found.map((f) => (
              <tr key={f.id}>
                <td>{siteMoment(f.at, zone)}</td>
                <td className="number">{signedPercent(f.error)}</td>
                <td className="number">±{f.allowed.toFixed(3)} %</td>
                <td className="number">{signedPercent(drift.points.find((p) => p.at === f.at)?.percent ?? 0)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </Picture>
      <p className="small quiet">
        Own drift: {slope}. It is counted per pulse, so that setting other pulses does not hide it.
      </p>
    </div>
  );
}
