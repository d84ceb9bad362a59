import type { AlarmCode, EndReason } from './entries.ts';
import type { Block } from './types.ts';

/**
 * Why a hose may not be armed, what a running fill is ended with, and how the block is lifted. `itself`: when the condition is gone.
 * `person`: only when somebody who looked says so. An emergency stop is reset by a person in any case (NEC 514.11 as reported: manual
 * reset only). Stopping in doubt is our own rule.
 */
export const BLOCKS = {
  eStop: {
    words: 'emergency stop',
    ends: 'eStop',
    alarm: 'eStop',
    lifted: 'person',
    how: 'the button is out and a person resets it',
  },
  mains: { words: 'no mains', ends: 'mains', alarm: 'mains', lifted: 'itself', how: 'the mains are back' },
  tankLow: {
    words: 'tank low',
    ends: 'tankLow',
    alarm: 'tankLow',
    lifted: 'itself',
    how: 'a reading stands 2 % above the low level',
  },
  water: {
    words: 'water in the tank',
    ends: 'water',
    alarm: 'water',
    lifted: 'itself',
    how: 'a reading shows less water',
  },
  probe: { words: 'tank not readable', ends: 'probe', alarm: 'probe', lifted: 'itself', how: 'the tank is read again' },
  device: {
    words: 'dispenser fault',
    ends: 'device',
    alarm: 'device',
    lifted: 'itself',
    how: 'the dispenser reports that it is back, with its count',
  },
  service: {
    words: 'out of service',
    ends: 'service',
    alarm: null,
    lifted: 'itself',
    how: 'the hose is put into service',
  },
  doubt: {
    words: 'impossible count',
    ends: 'doubt',
    alarm: null,
    lifted: 'person',
    how: 'a person has looked at pulser and wiring',
  },
  stray: {
    words: 'flow without authorisation',
    ends: 'doubt',
    alarm: null,
    lifted: 'person',
    how: 'a person has looked at valve and pulser',
  },
  valve: {
    words: 'dispenser did not confirm closing',
    ends: 'device',
    alarm: null,
    lifted: 'person',
    how: 'a person has seen the valve close',
  },
} as const satisfies Record<
  Block,
  { words: string; ends: EndReason; alarm: AlarmCode | null; lifted: 'itself' | 'person'; how: string }
>;
