export { type Reading, readPlain, readTrack2, readWiegand26, track2Check } from './card-reader.ts';
export type { ArmOrder, YardAbilities, YardEvent, YardPort } from './port.ts';
export { YARD_PROMISES, type YardPromise, type YardTrial } from './promises.ts';
