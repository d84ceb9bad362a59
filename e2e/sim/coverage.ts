import type { HoseName } from '@fillwright/core/island';
import { FAULT_KINDS, type FaultKind, IN_A_WRITE, RESTING } from './faults.ts';

/** Which faults met a hose in which state. A simulation is as good as what its generator reaches. */
export type Place = HoseName | 'off';
export const PLACES: readonly Place[] = [
  'off',
  'idle',
  'claimed',
  'recording',
  'arming',
  'armed',
  'lifted',
  'flowing',
  'slowing',
  'stopping',
  'closing',
  'blocked',
];

/**
 * Pairs that can occur. A hose is 'claimed' only within one step, where nothing is written; it is 'recording' only while its authorisation is
 * being written, so that only a fault of that write meets it. Of a box that is
 * off no state is asked: faults that meet one are counted, and none is demanded.
 */
export function canOccur(kind: FaultKind, place: Place): boolean {
  if (place === 'claimed') return false;
  const write = IN_A_WRITE.includes(kind);
  if (place === 'recording') return write;
  if (place === 'off') return false;
  return RESTING.includes(place);
}

export const neverMet = (covered: ReadonlyMap<string, number>): readonly string[] =>
  FAULT_KINDS.flatMap((kind) =>
    PLACES.filter((place) => canOccur(kind, place) && !covered.has(`${kind}|${place}`)).map(
      (place) => `${kind} | ${place}`,
    ),
  );

export function coverageTable(covered: ReadonlyMap<string, number>): string {
  const width = Math.max(...FAULT_KINDS.map((k) => k.length));
  const cell = (kind: FaultKind, place: Place) =>
    String(covered.get(`${kind}|${place}`) ?? (canOccur(kind, place) ? 0 : '-')).padStart(10);
  return [
    ' '.repeat(width) + PLACES.map((p) => p.padStart(10)).join(''),
    ...FAULT_KINDS.map((kind) => kind.padEnd(width) + PLACES.map((p) => cell(kind, p)).join('')),
  ].join('\n');
}
