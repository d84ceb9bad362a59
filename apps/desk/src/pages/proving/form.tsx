import { type Fleet, type Hose, unitOf } from '@fillwright/core/fleet';
import { judgeRun } from '@fillwright/core/metering';
import { formatDecimal, volumeOf } from '@fillwright/core/units';
import { useState } from 'react';
import { useAsk, useDo } from '../../data/hub.ts';
import { byName, Choice, type Items } from '../../field/choice.tsx';
import { Heads, unseen } from '../../look/heads.tsx';
import { type ProblemLike, ProblemNote } from '../../look/problem-note.tsx';
import { volumeText } from '../../show/amounts.ts';
import { siteMoment } from '../../show/site-time.ts';
import {
  type DraftForm,
  degreesUnit,
  drawnMilli,
  neckUnit,
  newDraft,
  newRun,
  type ProverForm,
  RULE_CHOICES,
  type RuleKey,
  type RunForm,
  runOf,
} from './run-form.ts';
import { Verdict } from './verdict.tsx';

const OCCASIONS: Items<RunForm['occasion']> = [
  ['acceptance', 'acceptance: new, newly in service or just repaired'],
  ['maintenance', 'maintenance: in use'],
];

const DAY_MS = 86_400_000;
const KEPT = 'fillwright.prover';

function keptProver(): ProverForm | null {
  try {
    return JSON.parse(localStorage.getItem(KEPT) ?? 'null') as ProverForm | null;
  } catch {
    return null;
  }
}

/** One proving run, judged while it is typed. */
export function ProvingForm({ fleet, hose }: { fleet: Fleet; hose: Hose }) {
  const unit = unitOf(fleet.settings);
  const zone = fleet.sites.get(hose.site)?.zone ?? 'UTC';
  const tanks = [...fleet.tanks.values()].filter((t) => t.site === hose.site && t.product === hose.product);
  const feeding = fleet.pumps.get(hose.pump)?.tanks[0];
  const [form, setForm] = useState<RunForm>(() => newRun(fleet, hose, keptProver(), Date.now()));
  const [tank, setTank] = useState(tanks.find((t) => t.id === feeding)?.id ?? tanks[0]?.id ?? '');
  const [fills, setFills] = useState<readonly string[]>([]);
  const [note, setNote] = useState('');
  const [problem, setProblem] = useState<ProblemLike>();
  const add = useDo('addProving');
  const [since] = useState(() => Math.floor((Date.now() - DAY_MS) / 60_000) * 60_000);
  const ledger = useAsk('fills', { query: { site: hose.site, from: since, limit: 200 } });
  const drawn = (ledger.data?.fills ?? []).filter((f) => f.hose === hose.id && f.proving === null && f.volume > 0);
  const read = runOf(form, unit, zone);
  const judged = read.ok ? judgeRun(read.value.run) : undefined;
  const set = (part: Partial<RunForm>) => {
    setForm({ ...form, ...part });
    setProblem(undefined);
  };
  const setDraft = (key: number, part: Partial<DraftForm>) =>
    set({ drafts: form.drafts.map((d) => (d.key === key ? { ...d, ...part } : d)) });
  const setProver = (part: Partial<ProverForm>) => set({ prover: { ...form.prover, ...part } });
  const keep = () => {
    if (!read.ok) return setProblem(read.error);
    if (judged && !judged.ok) return setProblem(judged.error);
    localStorage.setItem(KEPT, JSON.stringify(form.prover));
    const volume = volumeOf(drawnMilli(form), unit);
    const back = tank === '' || volume === 0 ? null : { tank, volume };
    add.mutate(
      {
        body: {
          hose: hose.id,
          at: read.value.at,
          run: { ...read.value.run, drafts: [...read.value.run.drafts] },
          note,
          back,
          fills: [...fills],
        },
      },
      {
        onSuccess: () => {
          setForm(newRun(fleet, hose, form.prover, Date.now()));
          setFills([]);
          setNote('');
        },
      },
    );
  };
  const text = (
    label: string,
    value: string,
    change: (v: string) => void,
    more: { type?: string; hint?: string } = {},
  ) => (
    <label className="field">
      <span className="field-label">{label}</span>
      <input
        className="input"
        type={more.type ?? 'text'}
        autoComplete="off"
        {...(more.type ? {} : { inputMode: more.hint === 'text' ? 'text' : 'decimal' })}
        value={value}
        onChange={(e) => change(e.target.value)}
      />
    </label>
  );
  const degrees = degreesUnit(unit);
  const measure = unit === 'gal' ? 'gallon' : 'litre';
  return (
    <form
      className="stack"
      aria-label={`Proving run of hose ${hose.number}`}
      onSubmit={(e) => {
        e.preventDefault();
        keep();
      }}
    >
      <h2>New proving run</h2>
      <div className="proving-fields">
        {text('Date at the site', form.date, (date) => set({ date }), { type: 'date' })}
        {text('Time at the site', form.time, (time) => set({ time }), { type: 'time' })}
        <Choice
          label="Rule"
          items={(Object.keys(RULE_CHOICES) as RuleKey[]).map((key) => [key, RULE_CHOICES[key][0]])}
          value={form.rule}
          choose={(rule) => set({ rule })}
        />
        <Choice label="Occasion" items={OCCASIONS} value={form.occasion} choose={(occasion) => set({ occasion })} />
        {text(`Pulses per ${measure} set`, form.pulses, (pulses) => set({ pulses }))}
        {text('Density (kg/m³ at 60 °F)', form.density, (density) => set({ density }))}
      </div>
      <h3>Prover</h3>
      <div className="proving-fields">
        {text('Prover', form.prover.name, (name) => setProver({ name }), { hint: 'text' })}
        {text('Certificate number', form.prover.certificate, (certificate) => setProver({ certificate }), {
          hint: 'text',
        })}
        {text('Certified on', form.prover.certifiedOn, (certifiedOn) => setProver({ certifiedOn }), { type: 'date' })}
        {text('Certificate holds until', form.prover.expiresOn, (expiresOn) => setProver({ expiresOn }), {
          type: 'date',
        })}
        {text(`True at (${degrees})`, form.prover.baseT, (baseT) => setProver({ baseT }))}
        {text(`Expansion per ${degrees}`, form.prover.expansion, (expansion) => setProver({ expansion }))}
      </div>
      <h3>Drafts</h3>
      <p className="small quiet">
        Wet and drain the prover first. A reading is from the line: plus where the prover holds more than the meter
        shows. Temperatures may be left empty; then nothing is corrected for them.
      </p>
      <div className="strip-scroll">
        <table className="table proving-drafts">
          <caption className="unseen">Drafts</caption>
          <Heads
            of={[
              'Flow kind',
              `Meter shows (${unit})`,
              `Reading (${neckUnit(unit)})`,
              `At the meter (${degrees})`,
              `At the prover (${degrees})`,
              `Flow (${unit}/min)`,
              unseen('Remove'),
            ]}
          />
          <tbody>
            {form.drafts.map((d, i) => (
              <tr key={d.key}>
                <td>
                  <select
                    className="input"
                    aria-label={`Draft ${i + 1}: flow kind`}
                    value={d.kind}
                    onChange={(e) => setDraft(d.key, { kind: e.target.value as DraftForm['kind'] })}
                  >
                    <option value="normal">full</option>
                    <option value="special">slow</option>
                  </select>
                </td>
                {(['indicated', 'reading', 'meterT', 'proverT', 'flow'] as const).map((field) => (
                  <td key={field}>
                    <input
                      className="input"
                      inputMode="text"
                      autoComplete="off"
                      aria-label={`Draft ${i + 1}: ${{ indicated: 'meter shows', reading: 'reading', meterT: 'temperature at the meter', proverT: 'temperature at the prover', flow: 'flow' }[field]}`}
                      value={d[field]}
                      onChange={(e) => setDraft(d.key, { [field]: e.target.value })}
                    />
                  </td>
                ))}
                <td>
                  <button
                    type="button"
                    className="button plain"
                    aria-label={`Remove draft ${i + 1}`}
                    disabled={form.drafts.length < 2}
                    onClick={() => set({ drafts: form.drafts.filter((o) => o.key !== d.key) })}
                  >
                    Remove
                  </button>
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <div className="row">
        <button
          type="button"
          className="button"
          disabled={form.drafts.length >= 20}
          onClick={() =>
            set({
              drafts: [...form.drafts, newDraft(Math.max(0, ...form.drafts.map((d) => d.key)) + 1, unit, 'normal')],
            })
          }
        >
          Add draft
        </button>
      </div>
      {judged?.ok && read.ok && <Verdict run={read.value.run} judged={judged.value} />}
      {judged && !judged.ok && <ProblemNote problem={judged.error} />}
      {!read.ok && (
        <p className="small quiet" role="status">
          Not judged yet: {read.error.at?.field}, {read.error.expected}.
        </p>
      )}
      <h3>Test fuel</h3>
      <div className="proving-fields">
        <Choice label="Goes back to" items={[['', 'no tank'], ...byName(tanks)]} value={tank} choose={setTank} />
        <p className="small quiet">
          {formatDecimal(drawnMilli(form), 3)} {unit} in all. It stands in that tank’s book as no sale. The wrong tank
          spoils its product: look twice.
        </p>
      </div>
      {drawn.length > 0 && (
        <fieldset className="proving-fills">
          <legend>Fills of the last day drawn for this run: no sale</legend>
          {drawn.map((f) => (
            <label key={f.id} className="row">
              <input
                type="checkbox"
                checked={fills.includes(f.id)}
                onChange={(e) => setFills(e.target.checked ? [...fills, f.id] : fills.filter((id) => id !== f.id))}
              />
              {siteMoment(f.startedAt, zone)}, {volumeText(fleet, f.volume, 3)}, {f.driverName || f.vehicleName}
            </label>
          ))}
        </fieldset>
      )}
      <label className="field">
        <span className="field-label">Note</span>
        <input className="input" maxLength={500} value={note} onChange={(e) => setNote(e.target.value)} />
      </label>
      {problem && <ProblemNote problem={problem} />}
      {add.isError && <ProblemNote problem={add.error.problem} />}
      <div className="row">
        <button type="submit" className="button main" disabled={add.isPending}>
          Keep this run
        </button>
        <span role="status" className="small quiet">
          {add.isPending ? 'Writing …' : add.isSuccess ? 'Kept.' : ''}
        </span>
      </div>
    </form>
  );
}
