import { type ProvingRun, RUN_CAUTIONS, RUN_LACKS, type RunJudged } from '@fillwright/core/metering';
import { formatDecimal } from '@fillwright/core/units';
import { Heads, right } from '../../look/heads.tsx';
import { Mark } from '../../look/marks.tsx';
import { neckUnit } from './run-form.ts';

const WORDS = {
  passes: ['good', 'Passes'],
  fails: ['error', 'Fails: take the hose out of service until it is set right and proved again'],
  incomplete: ['warning', 'Nothing fails, but this proves nothing yet'],
} as const;

export const signedPercent = (value: number): string =>
  `${value > 0 ? '+' : value < 0 ? '−' : ''}${Math.abs(value).toFixed(3)} %`;

export function VerdictMark({ of, short }: { of: RunJudged['verdict']; short?: boolean }) {
  const [mark, words] = WORDS[of];
  return <Mark is={mark}>{short ? of : words}</Mark>;
}

/** What follows from a run, as it is typed and when it is kept. */
export function Verdict({ run, judged }: { run: ProvingRun; judged: RunJudged }) {
  const neck = neckUnit(run.unit);
  return (
    <section className="stack proving-verdict" aria-label="Verdict">
      <p role="status">
        <VerdictMark of={judged.verdict} />
      </p>
      <div className="strip-scroll">
        <table className="table">
          <caption className="unseen">Drafts and what is allowed</caption>
          <Heads of={['Draft', right(`Corrected (${neck})`), right(`Allowed (${neck})`), right('Error'), 'Within']} />
          <tbody>
            {judged.drafts.map((d, i) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: drafts of one verdict never move
              <tr key={i}>
                <th scope="row">
                  {i + 1}, {d.kind === 'normal' ? 'full flow' : 'slow flow'}
                </th>
                <td className="number">{formatDecimal(d.correctedMilli, 3)}</td>
                <td className="number">±{d.tolerance.toFixed(2)}</td>
                <td className="number">{signedPercent(d.deliveredPercent)}</td>
                <td>{d.passes ? 'yes' : <Mark is="error">no, {d.direction}</Mark>}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <ul className="small">
        {judged.repeatability.map((r) => (
          <li key={r.indicatedMilli}>
            Repeatability of {r.drafts} drafts of {formatDecimal(r.indicatedMilli, 3)} {run.unit}: range{' '}
            {Number(r.range.toFixed(3))} {neck}, allowed {r.allowed.toFixed(2)}.{' '}
            {r.passes ? 'Within.' : <Mark is="error">not within</Mark>}
          </li>
        ))}
        {judged.lacks.map((l) => (
          <li key={l}>Lacks: {RUN_LACKS[l]}.</li>
        ))}
        {judged.cautions.map((c) => (
          <li key={c}>Note: {RUN_CAUTIONS[c]}.</li>
        ))}
        {judged.truePulsesMilli !== null && judged.truePulsesMilli !== run.pulsesMilli && (
          <li>
            New pulses per {run.unit === 'gal' ? 'gallon' : 'litre'} that would be right at full flow:{' '}
            <strong>{formatDecimal(judged.truePulsesMilli, 3)}</strong> (set: {formatDecimal(run.pulsesMilli, 3)}). Set
            on the sheet, released and run by the site, a new proof must follow. A sealed meter is set by the registered
            service agent only.
          </li>
        )}
      </ul>
    </section>
  );
}
