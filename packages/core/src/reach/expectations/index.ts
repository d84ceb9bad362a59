export { checkExpectations, DAYS_LOOKED_AT } from './check.ts';
export { type Subject, subjectOf, type Unread } from './sentence.ts';
export type { Counterexample, Verdict } from './verdict.ts';
export { counterexampleWords, ruleToMend, sentenceWords, UNREAD, verdictWords } from './words.ts';
