import { type FlagFill, type FlagKind, type History, PRACTICE } from '../flag.ts';

/** No working vehicle keeps this up between two fills, stops counted; miles an hour or kilometres an hour. Common practice, no source. */
const FASTEST = { us: 80, metric: 130 };
/** A clock at the terminal and a driver's rounding may be off by as much. */
const SLACK = { distance: 5, hours: 0.2 };

export const counterBack: FlagKind = {
  code: 'G02',
  title: 'A counter that went backwards',
  reason: 'An odometer does not fall: it was keyed wrongly now or the last time, or the card fuelled another vehicle.',
  next: 'Read the counter on the vehicle. If the card was used for another vehicle, stop it.',
  source: PRACTICE,
  *find(history) {
    for (const { last, fill, kind, from, to } of steps(history)) {
      if (to >= from) continue;
      yield {
        at: fill.from,
        on: onOf(last, fill),
        text: `${history.called('vehicles', String(fill.vehicle))}: ${kind} ${to} after ${from}.`,
        evidence: { before: from, now: to },
      };
    }
  },
};

export const counterJump: FlagKind = {
  code: 'G03',
  title: 'A counter that went on faster than the vehicle can',
  reason: 'In the time since the last fill the vehicle cannot have gone so far: a digit too many, or another vehicle.',
  next: 'Read the counter on the vehicle and correct the reading.',
  source: PRACTICE,
  *find(history) {
    const fastest = FASTEST[history.fleet.settings.units];
    for (const { last, fill, kind, from, to } of steps(history)) {
      const hours = (fill.from - last.from) / 3_600_000;
      const most = kind === 'hours' ? hours + SLACK.hours : hours * fastest + SLACK.distance;
      // Engine hours are keyed without decimals: up to one more may show.
      if (to - from <= (kind === 'hours' ? most + 1 : most)) continue;
      yield {
        at: fill.from,
        on: onOf(last, fill),
        text: `${history.called('vehicles', String(fill.vehicle))}: ${kind} ${to}, ${to - from} more than ${Math.round(hours * 10) / 10} hours before.`,
        evidence: { before: from, now: to, hours: Math.round(hours * 10) / 10, most: Math.round(most) },
      };
    }
  },
};

const onOf = (last: FlagFill, fill: FlagFill) =>
  [
    { table: 'fills', id: fill.id },
    { table: 'vehicles', id: String(fill.vehicle) },
    { table: 'fills', id: last.id },
  ] as const;

interface CounterStep {
  readonly last: FlagFill;
  readonly fill: FlagFill;
  readonly kind: 'odometer' | 'hours';
  readonly from: number;
  readonly to: number;
}

/** Neighbouring readings of each vehicle. A reading that fell does not become the mark for the next one, so that one slip is one flag. */
export function* steps(history: History): Generator<CounterStep> {
  for (const fills of history.byVehicle.values()) {
    for (const kind of ['odometer', 'hours'] as const) {
      let last: FlagFill | undefined;
      let fell = 0;
      for (const fill of fills) {
        const to = fill[kind];
        if (to === undefined) continue;
        const from = last?.[kind];
        if (last && from !== undefined) yield { last, fill, kind, from, to };
        // Twice below the mark, and the mark itself was the slip.
        fell = from !== undefined && to < from ? fell + 1 : 0;
        if (fell === 0 || fell > 1) last = fill;
      }
    }
  }
}
