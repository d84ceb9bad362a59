import type { Fleet, Hose } from '@fillwright/core/fleet';
import { type MeterState, meterStanding } from '@fillwright/core/metering';
import { formatDecimal } from '@fillwright/core/units';
import { type Proving, urlOf } from '@fillwright/wire';
import { useNow } from '../../data/clock.ts';
import { useDraft } from '../../data/draft.ts';
import { useAsk } from '../../data/hub.ts';
import { useMay } from '../../data/me.ts';
import { nameOf, useWhere } from '../../data/where.ts';
import { Mark, type Severity } from '../../look/marks.tsx';
import { ProblemNote } from '../../look/problem-note.tsx';
import { volumeText } from '../../show/amounts.ts';
import { SafetyNote } from '../../show/safety.tsx';
import { siteMoment } from '../../show/site-time.ts';
import { DriftPicture } from './drift-picture.tsx';
import { ProvingForm } from './form.tsx';
import './proving.css';
import { Heads, right, unseen } from '../../look/heads.tsx';
import { signedPercent, VerdictMark } from './verdict.tsx';

const STATES: Readonly<Record<MeterState, readonly [Severity | null, string]>> = {
  never: ['warning', 'not proved yet'],
  failed: ['error', 'failed'],
  changed: ['warning', 'other pulses are set since: prove again'],
  due: ['warning', 'due'],
  proved: [null, 'proved'],
};

/** Every meter's proofs, and a new one. */
export default function ProvingPage() {
  const { fleet } = useDraft();
  const [where, change] = useWhere();
  const runs = useAsk('provings', { query: {} });
  const hoses = [...fleet.hoses.values()].sort(
    (a, b) => nameOf(fleet, 'sites', a.site).localeCompare(nameOf(fleet, 'sites', b.site)) || a.number - b.number,
  );
  const open = where.hose === undefined ? undefined : fleet.hoses.get(where.hose);
  return (
    <div className="page">
      <h1>Proving</h1>
      <SafetyNote before="drawing fuel into a prover" />
      <p className="small">
        A sealed meter is adjusted, and its seal broken and set, by registered people only: call the
        weights-and-measures service agent. What stands here is arithmetic to record a proving, and no approval.
      </p>
      {runs.isError && <ProblemNote problem={runs.error.problem} />}
      {runs.isPending && <p role="status">Asking for the proofs …</p>}
      {hoses.length === 0 && <p className="quiet">No hose yet: add one on the sheet of its site.</p>}
      {runs.data && hoses.length > 0 && (
        <Hoses
          fleet={fleet}
          hoses={hoses}
          runs={runs.data}
          open={open?.id}
          onOpen={(hose) => change({ hose: hose === open?.id ? undefined : hose })}
        />
      )}
      {runs.data && hoses.length > 0 && (
        <p className="small quiet">
          Next by: a year after the last proof, common practice; the authority says what holds.
        </p>
      )}
      {runs.data && open && <OneHose key={open.id} fleet={fleet} hose={open} runs={runs.data} />}
    </div>
  );
}

const proofsOf = (runs: readonly Proving[], hose: string) =>
  runs
    .filter((r) => r.hose === hose)
    .map((r) => ({
      at: r.at,
      verdict: r.judged.verdict,
      pulsesMilli: r.run.pulsesMilli,
      truePulsesMilli: r.judged.truePulsesMilli,
      error: r.judged.deliveredPercent,
    }));

function Hoses(props: {
  fleet: Fleet;
  hoses: readonly Hose[];
  runs: readonly Proving[];
  open: string | undefined;
  onOpen: (hose: string) => void;
}) {
  const { fleet, hoses, runs, open, onOpen } = props;
  const now = useNow();
  return (
    <div className="strip-scroll">
      <table className="table proving-meters">
        <caption className="unseen">Meters</caption>
        <Heads
          of={['Hose', 'State', 'Last proof', right('Error then'), right('Pulses set'), 'Next by', unseen('Open')]}
        />
        <tbody>
          {hoses.map((h) => {
            const proofs = proofsOf(runs, h.id);
            const standing = meterStanding(proofs, h.pulses, now);
            const [mark, words] = STATES[standing.state];
            const zone = fleet.sites.get(h.site)?.zone ?? 'UTC';
            const error = proofs.find((p) => p.at === standing.last?.at)?.error;
            return (
              <tr key={h.id}>
                <th scope="row">
                  <div>Hose {h.number}</div>
                  <div className="small quiet">
                    {nameOf(fleet, 'sites', h.site)}, {nameOf(fleet, 'products', h.product)}
                  </div>
                </th>
                <td>{mark ? <Mark is={mark}>{words}</Mark> : words}</td>
                <td className="date">{standing.last ? siteMoment(standing.last.at, zone).slice(0, 10) : ''}</td>
                <td className="number">{error === undefined || error === null ? '' : signedPercent(error)}</td>
                <td className="number">{formatDecimal(h.pulses, 3)}</td>
                <td className="date">{standing.dueAt === null ? '' : siteMoment(standing.dueAt, zone).slice(0, 10)}</td>
                <td>
                  <button
                    type="button"
                    className="button"
                    aria-expanded={open === h.id}
                    aria-label={`${open === h.id ? 'Close' : 'Open'} hose ${h.number} of ${nameOf(fleet, 'sites', h.site)}`}
                    onClick={() => onOpen(h.id)}
                  >
                    {open === h.id ? 'Close' : 'Open'}
                  </button>
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </div>
  );
}

function OneHose({ fleet, hose, runs }: { fleet: Fleet; hose: Hose; runs: readonly Proving[] }) {
  const may = useMay('technician');
  const zone = fleet.sites.get(hose.site)?.zone ?? 'UTC';
  const own = runs.filter((r) => r.hose === hose.id);
  return (
    <section className="stack" aria-label={`Hose ${hose.number}`}>
      <h2>
        Hose {hose.number}, {nameOf(fleet, 'sites', hose.site)}
      </h2>
      {own.length > 0 && <DriftPicture runs={own} zone={zone} />}
      {own.length > 0 && (
        <div className="strip-scroll">
          <table className="table proving-runs">
            <caption className="unseen">Proving runs of this hose</caption>
            <Heads of={['At, by the site’s clock', 'By', 'Verdict', right('Error'), 'Test fuel', 'Paper']} />
            <tbody>
              {own.map((r) => (
                <tr key={r.id}>
                  <td>{siteMoment(r.at, zone)}</td>
                  <td>{r.by}</td>
                  <td>
                    <VerdictMark of={r.judged.verdict} short />
                  </td>
                  <td className="number">
                    {r.judged.deliveredPercent === null ? '' : signedPercent(r.judged.deliveredPercent)}
                  </td>
                  <td>
                    {r.tank === null || r.returned === null
                      ? ''
                      : `${volumeText(fleet, r.returned)} to ${nameOf(fleet, 'tanks', r.tank)}`}
                  </td>
                  <td>
                    <a href={urlOf('provingPaper', { params: { id: r.id } })} download>
                      PDF
                    </a>
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
      {may ? <ProvingForm fleet={fleet} hose={hose} /> : <p className="quiet">Technicians may keep proving runs.</p>}
    </section>
  );
}
