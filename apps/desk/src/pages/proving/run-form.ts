import { type Problem, problem, type Result } from '@fillwright/core/errors';
import { type Fleet, type Hose, unitOf } from '@fillwright/core/fleet';
import {
  celsiusOfFahrenheit,
  fahrenheitOfCelsius,
  type MeterRule,
  type Occasion,
  PROVER_METALS,
  type ProvingRun,
  type RunDraft,
  type TestKind,
  usualRule,
} from '@fillwright/core/metering';
import { formatDecimal, parseDecimal, parseVolume, type VolumeUnit } from '@fillwright/core/units';
import { instantsOf, UTC, wallOf, zoneKnown } from '../../show/site-time.ts';

/** A draft as typed. */
export interface DraftForm {
  /** For lists on the screen. */
  readonly key: number;
  readonly kind: TestKind;
  readonly indicated: string;
  readonly reading: string;
  readonly flow: string;
  readonly meterT: string;
  readonly proverT: string;
}

/** The prover as typed; kept on this computer from run to run. */
export interface ProverForm {
  readonly name: string;
  readonly certificate: string;
  readonly certifiedOn: string;
  readonly expiresOn: string;
  readonly baseT: string;
  readonly expansion: string;
}

export interface RunForm {
  readonly date: string;
  readonly time: string;
  readonly rule: RuleKey;
  readonly occasion: Occasion;
  readonly pulses: string;
  readonly density: string;
  readonly prover: ProverForm;
  readonly drafts: readonly DraftForm[];
}

export const RULE_CHOICES = {
  'hb-0.3': ['Handbook 44, class 0.3: above 30 gal/min', { by: 'HB 44', accuracy: '0.3' }],
  'hb-0.5': ['Handbook 44, class 0.5: up to 30 gal/min', { by: 'HB 44', accuracy: '0.5' }],
  'hb-1.1': ['Handbook 44, class 1.1: below 1 gal/min', { by: 'HB 44', accuracy: '1.1' }],
  'eu-0.5-A': ['2014/32/EU, class 0.5, whole system', { by: '2014/32/EU', accuracy: '0.5', line: 'A' }],
  'eu-0.5-B': ['2014/32/EU, class 0.5, meter alone', { by: '2014/32/EU', accuracy: '0.5', line: 'B' }],
  'eu-1.0-A': ['2014/32/EU, class 1.0, whole system', { by: '2014/32/EU', accuracy: '1.0', line: 'A' }],
} as const satisfies Record<string, readonly [string, MeterRule]>;
export type RuleKey = keyof typeof RULE_CHOICES;

const keyOfRule = (rule: MeterRule): RuleKey =>
  (Object.keys(RULE_CHOICES) as RuleKey[]).find(
    (key) => JSON.stringify(RULE_CHOICES[key][1]) === JSON.stringify(rule),
  ) ?? 'hb-0.5';

const us = (unit: VolumeUnit) => unit === 'gal';
export const degreesUnit = (unit: VolumeUnit) => (us(unit) ? '°F' : '°C');
export const neckUnit = (unit: VolumeUnit) => (us(unit) ? 'in³' : 'mL');

export const newProver = (unit: VolumeUnit): ProverForm => ({
  name: us(unit) ? '5 gal test measure' : '20 l test measure',
  certificate: '',
  certifiedOn: '',
  expiresOn: '',
  baseT: us(unit) ? '60' : '15',
  expansion: String(us(unit) ? PROVER_METALS['stainless steel'].perF : PROVER_METALS['stainless steel'].perC),
});

/** Densities to begin with, kg/m3 at 60 °F: common practice, no source. Exhaust fluid is not in the tables. */
const DENSITY: Readonly<Record<string, string>> = { petrol: '740', diesel: '845', dyed: '845' };

const newDraft = (key: number, unit: VolumeUnit, kind: TestKind): DraftForm => ({
  key,
  kind,
  indicated: us(unit) ? '5' : '20',
  reading: '',
  flow: '',
  meterT: '',
  proverT: '',
});

/** One more draft at full flow. */
export const nextDraft = (drafts: readonly DraftForm[], unit: VolumeUnit): DraftForm =>
  newDraft(Math.max(0, ...drafts.map((d) => d.key)) + 1, unit, 'normal');

/** A usual run to begin with: two drafts at full flow, one slow. */
export function newRun(fleet: Fleet, hose: Hose, prover: ProverForm | null, now: number): RunForm {
  const unit = unitOf(fleet.settings);
  return {
    ...wallOf(now, fleet.sites.get(hose.site)?.zone ?? 'UTC'),
    rule: keyOfRule(usualRule(unit, hose.flow)),
    occasion: 'maintenance',
    pulses: formatDecimal(hose.pulses, 3),
    density: DENSITY[fleet.products.get(hose.product)?.kind ?? ''] ?? '',
    prover: prover ?? newProver(unit),
    drafts: [newDraft(1, unit, 'normal'), newDraft(2, unit, 'normal'), newDraft(3, unit, 'special')],
  };
}

const wrong = (field: string, found: string, expected: string): { ok: false; error: Problem } => ({
  ok: false,
  error: problem('FW-201', { at: { field }, ...(found ? { found } : {}), expected }),
});

const numberOf = (text: string): number | undefined =>
  /^[+-]?\d+(\.\d+)?(e-?\d+)?$/i.test(text.trim()) ? Number(text) : undefined;

/** The run that is meant and its moment, or the first thing that is wrong with what is typed. */
export function runOf(form: RunForm, unit: VolumeUnit, zone: string): Result<{ run: ProvingRun; at: number }> {
  const toC = (t: number) => (us(unit) ? celsiusOfFahrenheit(t) : t);
  const temperature = (text: string): number | null | undefined => {
    if (text.trim() === '') return null;
    const t = numberOf(text);
    return t === undefined ? undefined : toC(t);
  };
  const at = instantsOf(form.date, form.time, zoneKnown(zone) ?? UTC)?.[0];
  if (at === undefined) return wrong('at', `${form.date} ${form.time}`, 'a date and a time that occur at the site');
  const pulsesMilli = parseDecimal(form.pulses, 3);
  if (pulsesMilli === undefined || pulsesMilli <= 0)
    return wrong('pulses', form.pulses, 'more than 0, three decimals at most');
  const { prover: p } = form;
  if (p.name.trim() === '') return wrong('prover', '', 'what was proved with');
  if (p.certificate.trim() === '') return wrong('certificate', '', 'the number of the prover’s certificate');
  if (!p.certifiedOn) return wrong('certified on', '', 'the date of the certificate');
  if (!p.expiresOn) return wrong('expires on', '', 'the last day on which the certificate holds');
  const baseC = temperature(p.baseT);
  if (baseC === null || baseC === undefined) return wrong('base temperature', p.baseT, `degrees ${degreesUnit(unit)}`);
  const expansion = numberOf(p.expansion);
  if (expansion === undefined) return wrong('expansion', p.expansion, `from the certificate, per ${degreesUnit(unit)}`);
  const density = form.density.trim() === '' ? null : numberOf(form.density);
  if (density === undefined) return wrong('density', form.density, 'kg/m³ at 60 °F, or empty');
  const drafts: RunDraft[] = [];
  for (const [i, d] of form.drafts.entries()) {
    const n = `draft ${i + 1}`;
    const indicatedMilli = parseDecimal(d.indicated, 3);
    if (indicatedMilli === undefined) return wrong(`${n}: meter`, d.indicated, `${unit}, three decimals at most`);
    const readingMilli = parseDecimal(d.reading.replace('−', '-'), 3);
    if (readingMilli === undefined)
      return wrong(`${n}: reading`, d.reading, `${neckUnit(unit)} from the line, plus above it`);
    const flow = d.flow.trim() === '' ? null : parseVolume(d.flow, unit);
    if (flow === undefined || (flow !== null && flow <= 0))
      return wrong(`${n}: flow`, d.flow, `${unit} a minute, or empty`);
    const [meterC, proverC] = [temperature(d.meterT), temperature(d.proverT)];
    if (meterC === undefined) return wrong(`${n}: temperature at the meter`, d.meterT, degreesUnit(unit));
    if (proverC === undefined) return wrong(`${n}: temperature at the prover`, d.proverT, degreesUnit(unit));
    drafts.push({ kind: d.kind, indicatedMilli, readingMilli, flow, meterC, proverC });
  }
  return {
    ok: true,
    value: {
      at,
      run: {
        unit,
        rule: RULE_CHOICES[form.rule][1],
        occasion: form.occasion,
        date: form.date,
        pulsesMilli,
        prover: {
          name: p.name.trim(),
          certificate: p.certificate.trim(),
          certifiedOn: p.certifiedOn,
          expiresOn: p.expiresOn,
          baseC,
          expansionPerC: us(unit) ? expansion * 1.8 : expansion,
        },
        density,
        drafts,
      },
    },
  };
}

/** Thousandths of a gallon or litre that all drafts together showed: what goes back into the tank. */
export const drawnMilli = (form: RunForm): number =>
  form.drafts.reduce((sum, d) => sum + Math.max(0, parseDecimal(d.indicated, 3) ?? 0), 0);

/** A prover that was kept, in the fleet's degrees. */
export function proverFormOf(run: ProvingRun): ProverForm {
  const { prover: p, unit } = run;
  return {
    name: p.name,
    certificate: p.certificate,
    certifiedOn: p.certifiedOn,
    expiresOn: p.expiresOn,
    baseT: String(Number((us(unit) ? fahrenheitOfCelsius(p.baseC) : p.baseC).toFixed(3))),
    expansion: String(Number((us(unit) ? p.expansionPerC / 1.8 : p.expansionPerC).toPrecision(6))),
  };
}
