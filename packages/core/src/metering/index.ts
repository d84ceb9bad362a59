export {
  type Chart,
  type ChartVolumeUnit,
  chartOf,
  chartOfShape,
  type DipUnit,
  dipAtVolume,
  fullLitres,
  type Gauge,
  type Room,
  roomAtDip,
  volumeAtDip,
} from './chart.ts';
export {
  beginCount,
  type CounterDoubt,
  type CounterSetup,
  type CounterState,
  type CounterStep,
  countOn,
  longestGapMs,
  mostPulses,
  pulseRate,
} from './counter.ts';
export {
  apiOfDensity,
  type Commodity,
  DENSITY_RANGE,
  densityOfApi,
  densityOfRelative,
  groupOf,
  type ProductGroup,
  WATER_60F,
} from './density.ts';
export { type CloseOrder, closeOrder, KEPT_LAGS, type Lag, type LagHose, learnLag } from './lag.ts';
export {
  type Drift,
  type MeterState,
  meterDrift,
  meterStanding,
  PROVE_EVERY_DAYS,
  type Proof,
} from './meter-history.ts';
export {
  ALPHA_E10,
  biodieselTo60F,
  ethanolBlendTo60F,
  type Factor,
  fuelEthanolTo60F,
  specialTo60F,
} from './other-fuels.ts';
export {
  correctedDraft,
  type Draft,
  type DraftResult,
  judgeDraft,
  judgeRepeatability,
  leastDraftMilli,
  newPulsesPerMeasure,
  PROVER_METALS,
  type ProverConditions,
  type Repeatability,
} from './proving.ts';
export {
  judgeRun,
  MOST_DRAFTS,
  type ProverRecord,
  type ProvingRun,
  RUN_CAUTIONS,
  RUN_LACKS,
  type RunCaution,
  type RunDraft,
  type RunJudged,
  type RunLack,
  usualRule,
} from './proving-run.ts';
export {
  beginPulser,
  type Edge,
  PULSER_DOUBTS,
  type PulserDoubt,
  type PulserKind,
  type PulserSetup,
  type PulserState,
  type PulserStep,
  shortestEdgeUs,
  takeEdge,
} from './pulser.ts';
export { endDepth, type TankEnd } from './tank-end.ts';
export { chartOfTank, gaugeOfTank, shapeOfTank } from './tank-gauge.ts';
export {
  capacityLitres,
  deepestMm,
  LITRES_PER_GALLON,
  litresAt,
  MM_PER_INCH,
  type TankShape,
  type Tilt,
  wrongShape,
} from './tank-shape.ts';
export { celsiusOfFahrenheit, fahrenheitOfCelsius, scale68 } from './temperature-scale.ts';
export {
  type MeterRule,
  NECK_UNITS,
  type Occasion,
  type TestKind,
  type Tolerance,
  toleranceFor,
  toleranceValue,
} from './tolerance.ts';
export {
  type Correction,
  correctedVolume,
  correctTo15C,
  correctTo60F,
  densityAt60F,
  roundHalfEven,
} from './volume-correction.ts';
export { factor6B, factor54B } from './volume-correction-1980.ts';
