import type { VolumeUnit } from '@fillwright/core/units';
import { Choice, type Items } from '../../field/choice.tsx';
import { FIGURES, LabelledInput, WORDS } from '../../field/labelled-input.tsx';
import { degreesUnit, type ProverForm, RULE_CHOICES, type RuleKey, type RunForm } from './run-form.ts';

const OCCASIONS: Items<RunForm['occasion']> = [
  ['acceptance', 'acceptance: new, newly in service or just repaired'],
  ['maintenance', 'maintenance: in use'],
];
const RULES: Items<RuleKey> = (Object.keys(RULE_CHOICES) as RuleKey[]).map((key) => [key, RULE_CHOICES[key][0]]);
const DATE = { type: 'date', autoComplete: 'off' } as const;
const TIME = { type: 'time', autoComplete: 'off' } as const;

interface Part<Form> {
  readonly form: Form;
  readonly unit: VolumeUnit;
  readonly set: (part: Partial<Form>) => void;
}

/** When, by which rule, and what the meter is set to. */
export function RunFields({ form, unit, set }: Part<RunForm>) {
  const measure = unit === 'gal' ? 'gallon' : 'litre';
  return (
    <div className="proving-fields">
      <LabelledInput label="Date at the site" value={form.date} onText={(date) => set({ date })} {...DATE} />
      <LabelledInput label="Time at the site" value={form.time} onText={(time) => set({ time })} {...TIME} />
      <Choice label="Rule" items={RULES} value={form.rule} choose={(rule) => set({ rule })} />
      <Choice label="Occasion" items={OCCASIONS} value={form.occasion} choose={(occasion) => set({ occasion })} />
      <LabelledInput
        label={`Pulses per ${measure} set`}
        value={form.pulses}
        onText={(pulses) => set({ pulses })}
        {...FIGURES}
      />
      <LabelledInput
        label="Density (kg/m³ at 60 °F)"
        value={form.density}
        onText={(density) => set({ density })}
        {...FIGURES}
      />
    </div>
  );
}

/** The vessel that is measured into, by its certificate. */
export function ProverFields({ form, unit, set }: Part<ProverForm>) {
  const degrees = degreesUnit(unit);
  const field = (key: keyof ProverForm, label: string, kind: typeof FIGURES | typeof WORDS | typeof DATE) => (
    <LabelledInput label={label} value={form[key]} onText={(text) => set({ [key]: text })} {...kind} />
  );
  return (
    <div className="proving-fields">
      {field('name', 'Prover', WORDS)}
      {field('certificate', 'Certificate number', WORDS)}
      {field('certifiedOn', 'Certified on', DATE)}
      {field('expiresOn', 'Certificate holds until', DATE)}
      {field('baseT', `True at (${degrees})`, FIGURES)}
      {field('expansion', `Expansion per ${degrees}`, FIGURES)}
    </div>
  );
}
