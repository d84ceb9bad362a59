export { deliveriesFound, type Found, lossesFound, type Matched, matchBills } from './deliveries.ts';
export {
  BASE_C,
  type Billed,
  type Body,
  DAY_MS,
  type Drawn,
  type History,
  HOUR_MS,
  levelPart,
  litresPerMm,
  type Reading,
} from './domain.ts';
export { leastSquares, type Solved, varianceOf } from './least-squares.ts';
export { gained, type Still, type StillTrace, stillTrace } from './still.ts';
export { type Drift, type Estimate, type NoModel, type Part, type TankModel, tankModel } from './tank-model.ts';
export { type DriftJudged, type Judged, judge, judgeDrifts, MONTHLY_LIMIT, type Verdict } from './verdict.ts';
