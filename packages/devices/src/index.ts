export { type Reading, readPlain, readSwipe, readTrack2, readWiegand26, track2Check } from './card/reading.ts';
export { type LineReader, openLineReader, withReaders } from './line-reader/line-reader.ts';
export { type Probed, probe } from './modbus/probe.ts';
export { readWiring, type Wiring, wiring } from './modbus/wiring.ts';
export { closesWithinMs, type ModbusYardOptions, modbusYard, worstOverrun } from './modbus/yard.ts';
export type { ArmOrder, YardAbilities, YardClock, YardEvent, YardPort } from './port.ts';
export { YARD_PROMISES, type YardPromise, type YardTrial } from './promises.ts';
export { type Opener, openStream } from './stream.ts';
