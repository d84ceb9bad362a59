import { type Fleet, type Hose, unitOf } from '@fillwright/core/fleet';
import { judgeRun } from '@fillwright/core/metering';
import { volumeOf } from '@fillwright/core/units';
import { useState } from 'react';
import { useDo } from '../../data/hub.ts';
import { LabelledInput } from '../../field/labelled-input.tsx';
import { type ProblemLike, ProblemNote } from '../../look/problem-note.tsx';
import { DraftsTable } from './drafts-table.tsx';
import { keepProver, keptProver } from './kept-prover.ts';
import { ProverFields, RunFields } from './run-fields.tsx';
import { drawnMilli, newRun, type RunForm, runOf } from './run-form.ts';
import { TestFuel, usualTank } from './test-fuel.tsx';
import { Verdict } from './verdict.tsx';

const here = () => localStorage;

/** One proving run, judged while it is typed. */
export function ProvingForm({ fleet, hose }: { fleet: Fleet; hose: Hose }) {
  const unit = unitOf(fleet.settings);
  const zone = fleet.sites.get(hose.site)?.zone ?? 'UTC';
  const [form, setForm] = useState<RunForm>(() => newRun(fleet, hose, keptProver(here), Date.now()));
  const [tank, setTank] = useState(() => usualTank(fleet, hose));
  const [fills, setFills] = useState<readonly string[]>([]);
  const [note, setNote] = useState('');
  const [problem, setProblem] = useState<ProblemLike>();
  const add = useDo('addProving');
  const read = runOf(form, unit, zone);
  const judged = read.ok ? judgeRun(read.value.run) : undefined;
  const set = (part: Partial<RunForm>) => {
    setForm({ ...form, ...part });
    setProblem(undefined);
  };
  const keep = () => {
    if (!read.ok) return setProblem(read.error);
    if (judged && !judged.ok) return setProblem(judged.error);
    keepProver(here, form.prover);
    const { run, at } = read.value;
    const volume = volumeOf(drawnMilli(form), unit);
    const back = tank === '' || volume === 0 ? null : { tank, volume };
    add.mutate(
      { body: { hose: hose.id, at, run: { ...run, drafts: [...run.drafts] }, note, back, fills: [...fills] } },
      {
        onSuccess: () => {
          setForm(newRun(fleet, hose, form.prover, Date.now()));
          setFills([]);
          setNote('');
        },
      },
    );
  };
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
      <RunFields form={form} unit={unit} set={set} />
      <h3>Prover</h3>
      <ProverFields form={form.prover} unit={unit} set={(part) => set({ prover: { ...form.prover, ...part } })} />
      <h3>Drafts</h3>
      <DraftsTable drafts={form.drafts} unit={unit} change={(drafts) => set({ drafts })} />
      {judged?.ok && read.ok && <Verdict run={read.value.run} judged={judged.value} />}
      {judged && !judged.ok && <ProblemNote problem={judged.error} />}
      {!read.ok && (
        <p className="small quiet" role="status">
          Not judged yet: {read.error.at?.field}, {read.error.expected}.
        </p>
      )}
      <h3>Test fuel</h3>
      <TestFuel
        fleet={fleet}
        hose={hose}
        drawnMilli={drawnMilli(form)}
        tank={tank}
        chooseTank={setTank}
        fills={fills}
        chooseFills={setFills}
      />
      <LabelledInput label="Note" maxLength={500} value={note} onText={setNote} />
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
