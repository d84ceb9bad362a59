import type { HoseName } from '@fillwright/core/island';
import type { Random } from '@fillwright/sim';

/** Everything that goes wrong, as data: a run is a seed and a list of these, so that a failing one can be made smaller. */
export const FAULT_KINDS = [
  'power cut',
  'power cut, counters too',
  'box dies, dispensers run on',
  'cut in a write, lost',
  'cut in a write, kept',
  'disk full',
  'write error, lost',
  'write error, kept',
  'clock ahead',
  'clock behind',
  'clock at 1970',
  'link down',
  'messages lost',
  'messages twice',
  'messages late and unordered',
  'broker wiped',
  'broker away',
  'office down',
  'office falls over',
  'office restored from backup',
  'pulse noise',
  'pulse noise, backwards',
  'dispenser silent',
  'emergency stop',
  'mains lost',
  'card stopped',
  'release',
  'poisoned release',
] as const;
export type FaultKind = (typeof FAULT_KINDS)[number];

export interface Fault {
  readonly kind: FaultKind;
  /** Which box, by its place; of faults that are everybody's, whose state tells when. */
  readonly box: number;
  /** From this moment on (ms since the run began), as soon as a hose of that box is in `state`; undefined: at once. */
  readonly at: number;
  readonly state: HoseName | undefined;
  /** A number that the fault may use: how long, how many, which write. 0 up to 1. */
  readonly much: number;
}

/** States that a hose is in while the world may act; the others begin and end within one step of the machine. */
export const RESTING: readonly HoseName[] = [
  'idle',
  'arming',
  'armed',
  'lifted',
  'flowing',
  'slowing',
  'stopping',
  'closing',
  'blocked',
];
/** Faults that strike a write: the states in which the machine has the box write. */
export const IN_A_WRITE: readonly FaultKind[] = [
  'cut in a write, lost',
  'cut in a write, kept',
  'disk full',
  'write error, lost',
  'write error, kept',
];

export function faultsFrom(random: Random, boxes: number, days: number): readonly Fault[] {
  const spanMs = days * 86_400_000;
  const count = Math.round(days * boxes * 5);
  return Array.from({ length: count }, (): Fault => {
    const kind = random.pick(FAULT_KINDS);
    const state = random.chance(0.85) ? random.pick(RESTING) : undefined;
    return { kind, box: random.whole(0, boxes - 1), at: random.whole(0, spanMs), state, much: random.next() };
  }).sort((a, b) => a.at - b.at);
}
