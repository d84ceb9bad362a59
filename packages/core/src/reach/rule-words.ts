import { nameOf, RULES } from '../decide/index.ts';
import type { Fleet } from '../fleet/index.ts';
import type { Reason } from './steps.ts';

const OF: Readonly<Record<string, string>> = {
  'per-fill': 'per fill',
  'per-day': 'per day',
  'per-week': 'per week',
  'per-month': 'per month',
  'fills-per-day': 'fills per day',
};

const WHOLE: Readonly<Record<string, string>> = {
  'hose-most': 'the most that the hose gives in one fill',
  'vehicle-tank': 'what the vehicle’s own tank holds',
  allowance: 'no allowance that covers this product at this site',
  identified: 'whoever must be known here is not presented',
  'holder-site': 'not one of their sites',
  question: 'a question that no answer satisfies',
};

/** The rule that decides, in words: 'per fill of “Day crew”', 'outside the times of “Day crew”'. */
export function ruleWords(fleet: Fleet, reason: Reason): string {
  const { rule, allowance } = reason;
  if (allowance === null) return WHOLE[rule] ?? titleOf(rule);
  const named = `“${nameOf(fleet, 'allowances', allowance)}”`;
  if (rule === 'allowance-time') return `outside the times of ${named}`;
  return `${OF[rule] ?? titleOf(rule)} of ${named}`;
}

const titleOf = (rule: string): string =>
  (RULES as Partial<Record<string, { readonly title: string }>>)[rule]?.title.toLowerCase() ?? rule;
