export { type Clock, pacedClock, type VirtualClock, virtualClock, type Wall } from './clock.ts';
export { type Random, randomFrom } from './random.ts';
export {
  type SimulatedYard,
  simulatedYard,
  type YardOptions,
  type YardPicture,
  type YardShape,
  yardShapeOf,
} from './yard.ts';
