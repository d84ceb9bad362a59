export {
  type BookDay,
  type BookMove,
  bookDays,
  type Measured,
  RECONCILED_MEANS,
  type Reconciled,
  reconcile,
} from './book.ts';
export { type DrawnDown, type FittedChart, fitChart } from './chart-fit.ts';
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
  lyingBody,
  type Reading,
} from './domain.ts';
export { leastSquares, type Solved, varianceOf } from './least-squares.ts';
export { type Load, loadThatFits } from './order.ts';
export {
  besideUsed,
  type ChartPoint,
  chartWith,
  dipsOf,
  type NoOwnChart,
  type OwnChart,
  ownChart,
} from './own-chart.ts';
export { type DayDemand, type Demand, demandOf, pinball, type RunOut, runOut } from './run-out.ts';
export { gained, type Still, type StillTrace, stillTrace } from './still.ts';
export type { Part } from './tank-columns.ts';
export { type Drift, type Estimate, type NoModel, type TankModel, tankModel } from './tank-model.ts';
export {
  type DriftJudged,
  type Judged,
  judge,
  judgeDrifts,
  type MetersJudged,
  MONTHLY_LIMIT,
  type Verdict,
} from './verdict.ts';
export { type ControlPoint, controlChart, cusum, type WaterRise, waterRise } from './watch.ts';
