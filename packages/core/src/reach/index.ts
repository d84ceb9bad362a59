export { accessOf, identifies, type Presented, presentedBy } from './access.ts';
export { cardsFor } from './cards.ts';
export { type Days, holds, intersect, union, weekdayCounts, without } from './days.ts';
export { type ChangeGroup, type Difference, differenceOf, type Progress, type Witness } from './difference.ts';
export {
  type Counterexample,
  checkExpectations,
  counterexampleWords,
  DAYS_LOOKED_AT,
  ruleToMend,
  type Subject,
  sentenceWords,
  subjectOf,
  UNREAD,
  type Unread,
  type Verdict,
  verdictWords,
} from './expectations/index.ts';
export { ruleWords } from './rule-words.ts';
export type { ChangeKind } from './spot.ts';
export {
  type About,
  type AccessRow,
  type AccessStatement,
  accessStatement,
  type Group,
  type Never,
  type SiteAccess,
} from './statement.ts';
export { Book, type Reason, SHUT, type Steps, stretchAt, walk } from './steps.ts';
export { type Couple, type HoseClass, type PartyClass, reachTable, type Table, type TermsList } from './table.ts';
export { datesWords, joined, timesWords } from './week-words.ts';
export { type Possible, possible } from './widest.ts';
