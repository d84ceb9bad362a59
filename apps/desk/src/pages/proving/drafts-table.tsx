import type { VolumeUnit } from '@fillwright/core/units';
import { Heads, unseen } from '../../look/heads.tsx';
import { type DraftForm, degreesUnit, neckUnit, nextDraft } from './run-form.ts';

const MOST_DRAFTS = 20;
const FIELDS = [
  ['indicated', 'meter shows'],
  ['reading', 'reading'],
  ['meterT', 'temperature at the meter'],
  ['proverT', 'temperature at the prover'],
  ['flow', 'flow'],
] as const satisfies readonly (readonly [keyof DraftForm, string])[];

/** What was read of each draft, one row each. */
export function DraftsTable(props: {
  drafts: readonly DraftForm[];
  unit: VolumeUnit;
  change: (drafts: readonly DraftForm[]) => void;
}) {
  const { drafts, unit, change } = props;
  const degrees = degreesUnit(unit);
  return (
    <>
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
            {drafts.map((draft, i) => (
              <DraftRow
                key={draft.key}
                draft={draft}
                number={i + 1}
                set={(part) => change(drafts.map((d) => (d === draft ? { ...d, ...part } : d)))}
                remove={drafts.length > 1 ? () => change(drafts.filter((d) => d !== draft)) : undefined}
              />
            ))}
          </tbody>
        </table>
      </div>
      <div className="row">
        <button
          type="button"
          className="button"
          disabled={drafts.length >= MOST_DRAFTS}
          onClick={() => change([...drafts, nextDraft(drafts, unit)])}
        >
          Add draft
        </button>
      </div>
    </>
  );
}

function DraftRow(props: {
  draft: DraftForm;
  number: number;
  set: (part: Partial<DraftForm>) => void;
  /** Undefined for the only draft. */
  remove: (() => void) | undefined;
}) {
  const { draft, number, set, remove } = props;
  return (
    <tr>
      <td>
        <select
          className="input"
          aria-label={`Draft ${number}: flow kind`}
          value={draft.kind}
          onChange={(e) => set({ kind: e.target.value as DraftForm['kind'] })}
        >
          <option value="normal">full</option>
          <option value="special">slow</option>
        </select>
      </td>
      {FIELDS.map(([field, words]) => (
        <td key={field}>
          <input
            className="input"
            inputMode="text"
            autoComplete="off"
            aria-label={`Draft ${number}: ${words}`}
            value={draft[field]}
            onChange={(e) => set({ [field]: e.target.value })}
          />
        </td>
      ))}
      <td>
        <button
          type="button"
          className="button plain"
          aria-label={`Remove draft ${number}`}
          disabled={!remove}
          onClick={remove}
        >
          Remove
        </button>
      </td>
    </tr>
  );
}
