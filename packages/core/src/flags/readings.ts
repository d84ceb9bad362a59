import type { FlagFill, History } from './flag.ts';

/** No working vehicle keeps this up between two fills, stops counted; miles an hour or kilometres an hour. Common practice, no source. */
const FASTEST = { us: 80, metric: 130 };
/** A clock at the terminal and a driver's rounding may be off by as much; engine hours are keyed without decimals, so one more may show. */
const SLACK = { distance: 5, hours: 1.2 };

/** One reading of a vehicle's counter beside the last one that was believed. */
export interface Reading {
  readonly fill: FlagFill;
  readonly now: number;
  /** Undefined for the first, and for one that a second reading proved right: the counter began anew there. */
  readonly last?: { readonly fill: FlagFill; readonly value: number };
  /** How it cannot be true; undefined where it is believed. */
  readonly wrong?: 'back' | 'fast';
  /** The most that the counter can have gone on, in its own unit. */
  readonly most: number;
}

export type Counter = 'odometer' | 'hours';

/**
 * A vehicle's readings in order. One that cannot follow the last believed one is not believed, so that one slip of a key is one flag and not
 * two; when the next one follows from it and not from the old, the counter was changed, or the old one was the slip, and it goes on from there.
 */
export function* readingsOf(history: History, fills: readonly FlagFill[], counter: Counter): Generator<Reading> {
  const fastest = FASTEST[history.fleet.settings.units];
  const mostOf = (from: FlagFill, to: FlagFill) => {
    const hours = (to.from - from.from) / 3_600_000;
    return counter === 'hours' ? hours + SLACK.hours : hours * fastest + SLACK.distance;
  };
  let believed: { fill: FlagFill; value: number } | undefined;
  let odd: { fill: FlagFill; value: number } | undefined;
  for (const fill of fills) {
    const now = fill[counter];
    if (now === undefined) continue;
    if (!believed) {
      yield { fill, now, most: 0 };
      believed = { fill, value: now };
      continue;
    }
    const most = mostOf(believed.fill, fill);
    const wrong = now < believed.value ? 'back' : now - believed.value > most ? 'fast' : undefined;
    if (wrong === undefined) {
      yield { fill, now, last: believed, most };
      [believed, odd] = [{ fill, value: now }, undefined];
    } else if (odd && now >= odd.value && now - odd.value <= mostOf(odd.fill, fill)) {
      yield { fill, now, most };
      [believed, odd] = [{ fill, value: now }, undefined];
    } else {
      yield { fill, now, last: believed, wrong, most };
      odd = { fill, value: now };
    }
  }
}
