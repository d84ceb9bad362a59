import type { Difference, Progress } from './change.ts';
import { type Cut, cutOf, type PerHose, pointsIn, type Section, touchedBy, weigh } from './cut.ts';
import { Group } from './group.ts';
import { largestFirst } from './groups.ts';
import type { LiveDifference } from './live.ts';
import type { ChangeKind } from './tally.ts';
import type { Side, Touched } from './touched.ts';
import { type ChangedStretch, stretchesOf, type Weeks } from './week-sums.ts';

/** A difference of which one part was looked at, with the minutes of the week in which it lies. */
export interface Narrowed extends Difference {
  /** By product; together the stretches of one cover the week, neighbours differ. */
  readonly weeks: ReadonlyMap<string, readonly ChangedStretch[]>;
  /** Points by hose. */
  readonly hoses: ReadonlyMap<string, Readonly<Record<ChangeKind, number>>>;
  /** Whom it touches, worked out when asked. */
  touched(): Touched;
}

/**
 * The difference within sections that share no point: exact, as the whole one is, and cheap where few are asked for. Like its groups it speaks
 * of the draft as it is now, and must be read before the next edit. A generator, so that whoever drives it can show how far it is.
 */
export function* narrowed(live: LiveDifference, sections: readonly Section[]): Generator<Progress, Narrowed> {
  const weeks: Weeks = new Map();
  const hoses: PerHose = new Map();
  const groups: Group[] = [];
  const points: Record<ChangeKind, bigint> = { gained: 0n, lost: 0n, raised: 0n, lowered: 0n };
  let looked = 0n;
  const cuts = sections.map((section): Cut => cutOf(live, section));
  for (const [n, cut] of cuts.entries()) {
    for (const [m, spot] of cut.spots.entries()) {
      weigh(cut, spot, weeks, hoses);
      yield { done: n * live.spots.length + m, of: sections.length * live.spots.length };
    }
    for (const [slot, key] of cut.tally.keys.entries()) {
      const sum = cut.tally.points(slot);
      if (sum === 0n) continue;
      points[key.kind] += sum;
      groups.push(new Group(cut, slot, key, sum));
    }
    looked += pointsIn(cut);
  }
  groups.sort(largestFirst);
  const touched = (): Touched => {
    const found = cuts.map(touchedBy);
    const of = (side: Side) => new Set(found.flatMap((t) => [...t[side]]));
    return { drivers: of('drivers'), vehicles: of('vehicles') };
  };
  const told = new Map([...weeks].map(([product, sums]) => [product, stretchesOf(sums)]));
  return { groups, points, looked, weeks: told, hoses, touched };
}
