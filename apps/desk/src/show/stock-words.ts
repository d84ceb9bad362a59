import { formatDecimal } from '@fillwright/core/units';
import type { TankStock, TankVerdict } from '@fillwright/wire';
import type { Said } from './site-words.ts';

const LITRES_PER_GALLON = 3.785411784;

/** Litres an hour in the fleet's unit, with its name. */
export function rateText(litresPerHour: number, unit: 'gal' | 'l'): string {
  const value = unit === 'gal' ? litresPerHour / LITRES_PER_GALLON : litresPerHour;
  return `${formatDecimal(Math.round(value * 1000), 3, 2)} ${unit}/h`;
}

export const percentText = (part: number): string =>
  `${part > 0 ? '+' : ''}${formatDecimal(Math.round(part * 10_000), 2, 2)} %`;

type Model = NonNullable<TankStock['model']>;

/** The verdict as a sentence, with what was seen and what could have been. */
export function verdictWords(m: Model, unit: 'gal' | 'l'): string {
  const rate = `${rateText(m.rate, unit)}, give or take ${rateText(m.margin, unit)}`;
  const seen = `The least loss that these readings would show is ${rateText(m.leastSeen, unit)}; the limit is ${rateText(m.limit, unit)}.`;
  if (m.why === 'within')
    return `No loss beyond the threshold of ${rateText(m.threshold, unit)}: found ${rate}. ${seen}`;
  if (m.why === 'lost')
    return `Fuel is lost that neither meters, deliveries, chart nor temperature explain: ${rate}. ${seen}`;
  if (m.why === 'gains')
    return `The tank gains (${rate}): water may come in, or a delivery or meter is wrong. Look before you trust it. ${seen}`;
  return `These readings cannot tell: found ${rate}. ${seen} That is not a pass.`;
}

/** What a list says of a tank, worst first: an empty list is a tank that nobody has to look at. */
export function tankSaid(v: TankVerdict, unit: 'gal' | 'l'): Said[] {
  const out: Said[] = [];
  const rate = v.rate === null ? '' : ` ${rateText(Math.abs(v.rate), unit)}`;
  if (v.losses.length > 0) out.push({ is: 'error', words: v.losses.length === 1 ? 'sudden loss' : 'sudden losses' });
  if (v.verdict === 'fail') out.push({ is: 'error', words: v.why === 'gains' ? `gains${rate}` : `loses${rate}` });
  if (v.monthWithin === false) out.push({ is: 'warning', words: 'monthly sum beyond' });
  if (v.waterRises) out.push({ is: 'warning', words: 'water rises' });
  if (v.verdict === 'inconclusive') out.push({ is: 'warning', words: 'inconclusive' });
  return out;
}

export const NO_MODEL: Readonly<Record<string, string>> = {
  'too few readings': 'There are fewer than 60 levels at rest: no estimate, and that is not a pass.',
  'too short': 'The readings span less than a week: no estimate yet, and that is not a pass.',
  'cannot be told apart':
    'What moves the level cannot be told apart from these readings: no estimate, and that is not a pass.',
};

/** What to do next about a verdict. */
export const NEXT: Readonly<Record<Model['verdict'], string>> = {
  pass: 'Nothing to do. Keep dipping and keep the bills.',
  inconclusive:
    'Find out: check late entries and bills, dip by hand, let the tank stand a night, or have it tested. Where a monthly result is required, an inconclusive month is not one.',
  fail: 'Stop and look now: late entries, bills, meters, theft, lines. If it cannot be explained, treat it as a suspected release: tell the authority within its time (usually 24 hours, 40 CFR 280.50) and have registered people test tank and lines. Do not open anything yourself.',
};
