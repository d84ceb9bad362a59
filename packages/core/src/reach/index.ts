export { accessOf, identifies, type Presented, presentedBy } from './access.ts';
export { cardsFor } from './cards.ts';
export type { ChangeGroup, Difference, Names, Progress, Who, Witness } from './change.ts';
export { type Days, holds, intersect, union, weekdayCounts, without } from './days.ts';
export { differenceOf } from './difference.ts';
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
export { type Here, hereOf, meetingsAt, type Place, type RoomStretch, type WeekHere } from './here.ts';
export { LiveDifference } from './live.ts';
export { type Narrowed, narrowed } from './narrow.ts';
export { ruleWords } from './rule-words.ts';
export { NARROWED_TO_NOTHING, type Narrowing, sectionsOf, sectionsOfCredential } from './sections.ts';
export { type SitePair, sitePair } from './site-pair.ts';
export { spansOf, standingOf } from './standing.ts';
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
export {
  type Couple,
  type HoseClass,
  type PartyClass,
  reachTable,
  revisedTable,
  type Table,
  type TermsList,
} from './table.ts';
export type { ChangeKind } from './tally.ts';
export type { ChangedStretch } from './week-sums.ts';
export { datesWords, timesWords } from './week-words.ts';
export { type Possible, possible } from './widest.ts';
