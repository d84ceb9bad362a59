import { type Fleet, rowsOf, type TableName, unitOf } from '../fleet/index.ts';
import { formatVolume, type Microlitres } from '../units/index.ts';
import { RULES } from './rules.ts';
import type { Decision, RuleCode, Step } from './types.ts';

/** One looked-at rule in words. */
export interface Line {
  readonly rule: RuleCode;
  readonly title: string;
  readonly says: Step['says'];
  /** A sentence about this request. */
  readonly text: string;
  readonly on?: Step['on'];
  /** Whether this is the rule that decided. */
  readonly decides: boolean;
}

/** A record's name for people: its name, plate, prompt or number, or its id where it has none. */
export function nameOf(fleet: Fleet, table: string, id: string): string {
  const row = rowsOf(fleet, table as TableName)?.get(id);
  if (!row) return id;
  if (table === 'hoses') return `hose ${String(row.number)}`;
  if (table === 'credentials') return `${String(row.kind)} ${String(row.number)}`;
  const name = row.name ?? row.prompt;
  return typeof name === 'string' && name.trim() !== '' ? name : id;
}

export const volumeText = (fleet: Fleet, volume: Microlitres): string => {
  const unit = unitOf(fleet.settings);
  return `${formatVolume(volume, unit, 1)} ${unit}`;
};

const holderName = (fleet: Fleet, key: unknown): string => {
  const [kind, ...rest] = String(key).split(':');
  return nameOf(fleet, kind === 'driver' ? 'drivers' : 'vehicles', rest.join(':'));
};

type Words = (facts: NonNullable<Step['facts']>, fleet: Fleet, name: string) => string;

const refusals: Record<RuleCode, Words> = {
  'site-known': (_, __, n) => `Site ${n} is not in the fleet or not in service.`,
  // One that the fleet does not have is called by its id.
  'hose-known': (_, __, n) => `The ${n.startsWith('hose ') ? n : `hose ${n}`} is not at this site or not in service.`,
  'hose-terminal': (_, __, n) => `This terminal may not choose ${n}.`,
  'card-known': (facts) =>
    facts.why === 'twice'
      ? `The number ${facts.number} is carried by two credentials, so it identifies nobody.`
      : `The number ${facts.number} is not in the roster.`,
  'card-stopped': (_, __, n) => `The ${n} has been stopped.`,
  'card-dates': (facts, _, n) => `The ${n} ${facts.why === 'early' ? 'is not valid yet' : 'is no longer valid'}.`,
  'cards-agree': (facts, _, n) =>
    facts.why === 'clash' ? 'Two drivers or two vehicles were presented at once.' : `The ${n} belongs to nobody.`,
  'holder-active': (_, __, n) => `${n} is not active.`,
  'holder-dates': (facts, _, n) => `${n} ${facts.why === 'early' ? 'is not valid yet' : 'is no longer valid'}.`,
  'holder-site': (_, __, n) => `${n} may not use this site.`,
  identified: (facts) =>
    `The credential of the ${facts.missing === 'either' ? 'driver or vehicle' : facts.missing} is missing.`,
  'site-open': () => 'The site is closed on this date.',
  pin: (facts, _, n) =>
    facts.pin === 'locked'
      ? `${n} is locked after too many wrong PINs.`
      : facts.pin === 'notSet'
        ? `${n} has no PIN at this site.`
        : 'The PIN was wrong.',
  question: (facts, _, n) => {
    if (facts.why === 'tooLittle') return `“${n}”: the answer is too low after the last reading of ${facts.last}.`;
    if (facts.why === 'tooMuch') return `“${n}”: the answer is too high after the last reading of ${facts.last}.`;
    return facts.why === 'notAccepted'
      ? `“${n}”: the answer is not one that is accepted.`
      : `“${n}”: the answer does not have the form it must have.`;
  },
  allowance: (_, __, n) => `${n} holds no allowance, and nobody else identified does.`,
  'allowance-product': (facts, f) => `No allowance of ${holderName(f, facts.holder)} covers this product.`,
  'allowance-site': (facts, f, n) => `“${n}” of ${holderName(f, facts.holder)} does not cover this site.`,
  'allowance-time': (facts, f, n) => `“${n}” of ${holderName(f, facts.holder)} does not cover this day and time.`,
  'allowance-cut-off': (facts, f, n) =>
    `“${n}” of ${holderName(f, facts.holder)} does not hold while the site is cut off.`,
  'fills-per-day': (facts, f, n) => `${holderName(f, facts.holder)} has used up the fills per day of “${n}”.`,
  'per-fill': (facts, f, n) => `“${n}” of ${holderName(f, facts.holder)} leaves less than can be metered.`,
  'per-day': (facts, f, n) => `${holderName(f, facts.holder)} has used up the day’s quantity of “${n}”.`,
  'per-week': (facts, f, n) => `${holderName(f, facts.holder)} has used up the week’s quantity of “${n}”.`,
  'per-month': (facts, f, n) => `${holderName(f, facts.holder)} has used up the month’s quantity of “${n}”.`,
  'hose-most': () => 'The hose’s most per fill is less than can be metered.',
  'vehicle-tank': (_, __, n) => `The tank of ${n} is smaller than can be metered.`,
};

const passes: Partial<Record<RuleCode, Words>> = {
  'card-known': (_, __, n) => `The ${n} is in the roster.`,
  'holder-active': (_, __, n) => `${n} is active.`,
  'holder-dates': (_, __, n) => `${n} is within its dates.`,
  'holder-site': (_, __, n) => `${n} may use this site.`,
  'site-open': () => 'The site is open on this date.',
  pin: () => 'The PIN was right.',
  question: (facts, _, n) => (facts.why ? `“${n}”: the answer is implausible and was noted.` : `“${n}” is answered.`),
  'per-fill': (facts, f, n) => `“${n}” of ${holderName(f, facts.holder)} sets no limit.`,
};

const asking: Partial<Record<RuleCode, Words>> = {
  'card-known': () => 'No credential has been presented yet.',
  pin: () => 'The PIN has not been keyed yet.',
  question: (_, __, n) => `“${n}” has not been answered yet.`,
};

const limits: Partial<Record<RuleCode, string>> = {
  'per-fill': 'per fill',
  'per-day': 'left today',
  'per-week': 'left this week',
  'per-month': 'left this month',
};

function textOf(step: Step, fleet: Fleet): string {
  const name = step.on ? nameOf(fleet, step.on.table, step.on.id) : '';
  const facts = step.facts ?? {};
  if (step.limit !== undefined) {
    const quantity = volumeText(fleet, step.limit);
    if (step.rule === 'hose-most') return `The ${name} gives at most ${quantity} in one fill.`;
    if (step.rule === 'vehicle-tank') return `The tank of ${name} holds ${quantity}.`;
    const whose = `“${name}” of ${holderName(fleet, facts.holder)}`;
    if (step.rule === 'fills-per-day') return `${whose}: no fill is left today.`;
    const share = facts.share === undefined ? '' : ` (${facts.share} % of what is left, while cut off)`;
    return `${whose}: ${quantity} ${limits[step.rule]}${share}.`;
  }
  if (step.says === 'ask') return (asking[step.rule] ?? refusals[step.rule])(facts, fleet, name);
  if (step.says === 'pass') return passes[step.rule]?.(facts, fleet, name) ?? `${RULES[step.rule].title}.`;
  return refusals[step.rule](facts, fleet, name);
}

/** Every rule that was looked at, in words, in the order in which it was looked at. Names come from `fleet`. */
export function explain(decision: Decision, fleet: Fleet): Line[] {
  const { by } = decision;
  return decision.steps.map((step) => ({
    rule: step.rule,
    title: RULES[step.rule].title,
    says: step.says,
    text: textOf(step, fleet),
    ...(step.on ? { on: step.on } : {}),
    decides: step === by,
  }));
}

/** What decided, in one sentence. */
export const refusalWords = (decision: Decision, fleet: Fleet): string => textOf(decision.by, fleet);

/** What a help desk would do next. */
export const nextStep = (decision: Decision): string => RULES[decision.by.rule].next;
