export type { ArmOrder, YardAbilities, YardEvent, YardPort } from './port.ts';
