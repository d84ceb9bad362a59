import { nameOf, volumeText } from '@fillwright/core/decide';
import type { Fleet } from '@fillwright/core/fleet';
import {
  fahrenheitOfCelsius,
  type MeterRule,
  type ProvingRun,
  RUN_CAUTIONS,
  RUN_LACKS,
  type RunJudged,
} from '@fillwright/core/metering';
import { formatDecimal } from '@fillwright/core/units';
import type { Paper, Part } from './paper.ts';

/** A proving run as it is kept. */
export interface ProvingRecord {
  readonly hose: string;
  readonly site: string;
  /** Milliseconds UTC. */
  readonly at: number;
  readonly by: string;
  readonly run: ProvingRun;
  readonly judged: RunJudged;
  readonly note: string;
  readonly tank: string | null;
  /** Microlitres that went back. */
  readonly returned: number | null;
  readonly fills: readonly string[];
}

const VERDICT = {
  passes: 'Passes: every draft and the repeatability are within what the rule allows.',
  fails: 'Fails: take the hose out of service until the meter is set right and proved again.',
  incomplete: 'Incomplete: nothing fails, but this run proves nothing yet.',
} as const;

const ruleWords = (rule: MeterRule): string =>
  rule.by === 'HB 44'
    ? `NIST Handbook 44, section 3.30, class ${rule.accuracy}`
    : `Directive 2014/32/EU, class ${rule.accuracy}, line ${rule.line}`;

const signed = (text: string, value: number): string => (value > 0 ? `+${text}` : text);

/** A proving run on paper, for the customer and the registered service agent. */
export function provingPaper(fleet: Fleet, record: ProvingRecord, atWords: string): Paper {
  const { run, judged } = record;
  const hose = fleet.hoses.get(record.hose);
  const us = run.unit === 'gal';
  const degrees = (c: number | null) =>
    c === null ? 'not read' : us ? `${fahrenheitOfCelsius(c).toFixed(1)} °F` : `${c.toFixed(1)} °C`;
  const neck = us ? 'in³' : 'mL';
  return {
    title: 'Proving of a meter',
    subtitle: `Hose ${hose?.number ?? record.hose}, ${nameOf(fleet, 'sites', record.site)}`,
    fleet: fleet.settings.name,
    asOf: record.at,
    asOfText: atWords,
    size: us ? 'letter' : 'a4',
    parts: [
      { kind: 'cautions', before: 'drawing fuel into a prover' },
      {
        kind: 'paragraph',
        text: 'This is arithmetic to record and judge a proving; it is no approval. A sealed meter is adjusted, and its seal broken and set, by the registered service agent only. Which rule is law here the weights-and-measures authority says.',
      },
      { kind: 'heading', level: 1, text: VERDICT[judged.verdict] },
      {
        kind: 'facts',
        rows: [
          ['Proved by', record.by],
          ['Product', hose ? nameOf(fleet, 'products', hose.product) : ''],
          ['Rule', `${ruleWords(run.rule)}, ${run.occasion}`],
          ['Prover', run.prover.name],
          [
            'Its certificate',
            `${run.prover.certificate}, of ${run.prover.certifiedOn}, holds until ${run.prover.expiresOn}`,
          ],
          [
            'Prover holds true at',
            `${degrees(run.prover.baseC)}; expansion ${us ? `${(run.prover.expansionPerC / 1.8).toPrecision(4)} per °F` : `${run.prover.expansionPerC.toPrecision(4)} per °C`}`,
          ],
          [
            'Liquid between meter and prover',
            run.density === null ? 'not corrected' : `corrected by API MPMS 11.1, ${run.density} kg/m³ at 60 °F`,
          ],
          [`Pulses per ${us ? 'gallon' : 'litre'} set`, formatDecimal(run.pulsesMilli, 3)],
          ...(judged.truePulsesMilli === null
            ? []
            : [['Would have been right at full flow', formatDecimal(judged.truePulsesMilli, 3)] as const]),
        ],
      },
      {
        kind: 'table',
        caption: `Drafts. A reading is plus where the prover holds more than the meter showed: the meter gives away.`,
        columns: [
          { title: 'Draft' },
          { title: `Meter (${run.unit})`, align: 'right' },
          { title: `Reading (${neck})`, align: 'right' },
          { title: 'At meter', align: 'right' },
          { title: 'At prover', align: 'right' },
          { title: `Corrected (${neck})`, align: 'right' },
          { title: `Allowed (${neck})`, align: 'right' },
          { title: '% of indicated', align: 'right' },
          { title: 'Within' },
        ],
        rows: judged.drafts.map((d, i) => {
          const raw = run.drafts[i] as ProvingRun['drafts'][number];
          return [
            `${i + 1}, ${d.kind === 'normal' ? 'full' : 'slow'}${raw.flow === null ? '' : `, ${volumeText(fleet, raw.flow)}/min`}`,
            formatDecimal(raw.indicatedMilli, 3),
            signed(formatDecimal(raw.readingMilli, 3), raw.readingMilli),
            degrees(raw.meterC),
            degrees(raw.proverC),
            signed(formatDecimal(d.correctedMilli, 3), d.correctedMilli),
            `±${d.tolerance.toFixed(2)}`,
            signed(d.deliveredPercent.toFixed(3), d.deliveredPercent),
            d.passes ? 'yes' : { text: 'no', bold: true },
          ];
        }),
      },
      ...judged.repeatability.map(
        (r): Part => ({
          kind: 'paragraph',
          text: `Repeatability of ${r.drafts} drafts of ${formatDecimal(r.indicatedMilli, 3)} ${run.unit}: range ${r.range} ${neck}, allowed ${r.allowed.toFixed(2)} ${neck} (40 % of the maintenance tolerance): ${r.passes ? 'within' : 'not within'}.`,
        }),
      ),
      ...(judged.lacks.length > 0
        ? [{ kind: 'list' as const, items: judged.lacks.map((l) => `Lacks: ${RUN_LACKS[l]}.`) }]
        : []),
      ...(judged.cautions.length > 0
        ? [{ kind: 'list' as const, items: judged.cautions.map((c) => `Note: ${RUN_CAUTIONS[c]}.`) }]
        : []),
      {
        kind: 'paragraph',
        text:
          record.tank === null || record.returned === null
            ? 'No test fuel was put back into a tank’s book.'
            : `${volumeText(fleet, record.returned)} of test fuel went back into ${nameOf(fleet, 'tanks', record.tank)} and stands in its book as no sale${record.fills.length > 0 ? `; ${record.fills.length} fills of the ledger are marked as no sale` : ''}.`,
      },
      ...(record.note ? [{ kind: 'paragraph' as const, text: record.note }] : []),
      {
        kind: 'signatures',
        roles: ['Proved by', 'Registered service agent, where the meter is sealed', 'For the fleet'],
      },
    ],
  };
}
