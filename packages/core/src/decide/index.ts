export { askOf, asks } from './asks.ts';
export { decide, plain, ruleOf } from './decide.ts';
export { explain, type Line, nameOf, nextStep, refusalWords, volumeText } from './explain.ts';
export { LEAST_USEFUL } from './look.ts';

export { LookedAt, onRecord } from './on-record.ts';

export {
  compile,
  type Holder,
  type Policy,
  type PolicyCard,
  type PolicyHose,
  type PolicySite,
  stopCredentials,
  type Terms,
} from './policy.ts';
export { rightAnswer, unanswerable } from './questions.ts';
export { NO_USAGE } from './recorded-usage.ts';
export { revise } from './revise.ts';
export { RULES } from './rules.ts';
export { type Drawn, Tally } from './tally.ts';
export type * from './types.ts';
export { rightAnswers } from './why/answers.ts';
export type { Change, Changer, KnownUsage, Remedy, Why, WhyCase } from './why/types.ts';
export { why } from './why/why.ts';
export { changeWords } from './why/words.ts';
