export { type Clock, pacedClock, type VirtualClock, virtualClock, type Wall } from './clock.ts';
export { type Closing, type ClosingsOptions, closings } from './closings.ts';
export { type FleetMonths, fleetMonths, type MonthsOfFills } from './fleet-months.ts';
export {
  DEMO_TAXES,
  demoPin,
  harrowmere,
  type PastProving,
  pastProvings,
  type Waiting,
  waitingChanges,
} from './harrowmere/index.ts';
export { type Past, type PastOptions, pastOf } from './past/past.ts';
export { type Person, somebody } from './person.ts';
export type { PulserFault } from './pulser.ts';
export { type Random, randomFrom } from './random.ts';
export { type TankHistory, type TankLife, tankLife } from './tank-life.ts';
export { type Counters, type Seen, type Traffic, type TrafficOptions, traffic } from './traffic.ts';
export type { Place } from './whereabouts.ts';
export {
  openingStock,
  type SimulatedYard,
  simulatedYard,
  type YardOptions,
  type YardPicture,
  type YardShape,
  yardShapeOf,
} from './yard.ts';
