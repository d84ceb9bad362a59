import {
  type Ask,
  askOf,
  type Decision,
  type DecisionRequest,
  decide,
  type PinState,
  type Policy,
  type Usage,
  type Used,
} from '@fillwright/core/decide';
import type { Fleet, Question } from '@fillwright/core/fleet';
import { instantsOf, zoneKnown } from '../../show/site-time.ts';

/** What somebody tries on the bench: a fill without fuel. */
export interface Trial {
  readonly site: string;
  readonly hose: string;
  /** Numbers of the credentials presented; empty texts count as not presented. */
  readonly credentials: readonly [string, string];
  readonly pin: PinState;
  readonly answers: Readonly<Record<string, string>>;
  /** By the clock on the site's wall. */
  readonly date: string;
  readonly time: string;
  /** Used so far, by `usedKey`. */
  readonly used: Readonly<Record<string, Used>>;
  /** Last reading by vehicle id. */
  readonly readings: Readonly<Record<string, number>>;
  readonly cutOff: boolean;
}

export const usedKey = (holder: string, allowance: string): string => `${holder} ${allowance}`;
export const NOTHING_USED: Used = { day: 0, week: 0, month: 0, fillsToday: 0 };

export const usageOf = (trial: Trial): Usage => ({
  cutOff: trial.cutOff,
  used: (holder, allowance) => trial.used[usedKey(holder, allowance)],
  lastReading: (vehicle) => trial.readings[vehicle],
});

/** The moment that is meant, or what is wrong with it; `note` where the wall shows it twice. */
export type Moment = { readonly at: number; readonly note?: string } | { readonly wrong: string };

export function momentOf(trial: Trial, fleet: Fleet): Moment {
  const zone = fleet.sites.get(trial.site)?.zone ?? 'UTC';
  const table = zoneKnown(zone);
  if (!table) return { wrong: `The site’s time zone ${zone} is not one that is known. Choose another on the sheet.` };
  const instants = instantsOf(trial.date, trial.time, table);
  if (!instants) return { wrong: 'Give a date as YYYY-MM-DD and a time as HH:MM.' };
  const [first, second] = instants;
  if (first === undefined)
    return { wrong: 'The clocks go forward over this time on this date, so that it does not occur. Choose another.' };
  return second === undefined
    ? { at: first }
    : { at: first, note: 'The clocks go back: this time occurs twice. The first is tried.' };
}

export type Outcome =
  | { readonly kind: 'nothing' }
  | { readonly kind: 'asks'; readonly ask: Ask; readonly decision: Decision }
  | { readonly kind: 'approved' | 'declined'; readonly decision: Decision };

export function requestOf(trial: Trial, at: number): DecisionRequest {
  // A question left empty has not been answered yet.
  const answers = Object.fromEntries(Object.entries(trial.answers).filter(([, text]) => text.trim() !== ''));
  const credentials = trial.credentials.map((c) => c.trim()).filter((c) => c !== '');
  return { site: trial.site, hose: trial.hose, at, credentials, pin: trial.pin, answers };
}

/** Nothing is declined before something has been presented, nor while the terminal would still ask. */
export function outcomeOf(policy: Policy, request: DecisionRequest, usage: Usage): Outcome {
  if (request.credentials.length === 0 || request.hose === '') return { kind: 'nothing' };
  const decision = decide(policy, request, usage);
  if (decision.approved) return { kind: 'approved', decision };
  const ask = askOf(decision);
  return ask ? { kind: 'asks', ask, decision } : { kind: 'declined', decision };
}

/** Who is presented by these numbers, as far as the roster knows them. */
export function presented(fleet: Fleet, numbers: readonly string[]): { driver?: string; vehicle?: string } {
  const found: { driver?: string; vehicle?: string } = {};
  const wanted = new Set(numbers.map((n) => n.trim()).filter((n) => n !== ''));
  if (wanted.size === 0) return found;
  for (const c of fleet.credentials.values()) {
    if (!wanted.has(c.number)) continue;
    if (c.driver !== null) found.driver ??= c.driver;
    if (c.vehicle !== null) found.vehicle ??= c.vehicle;
  }
  return found;
}

/** The questions that this site would put to them, each once: the site's, the driver's, the vehicle's. */
export function questionsAsked(fleet: Fleet, site: string, who: { driver?: string; vehicle?: string }): Question[] {
  const vehicle = who.vehicle === undefined ? undefined : fleet.vehicles.get(who.vehicle);
  const ids = new Set([
    ...(fleet.sites.get(site)?.questions ?? []),
    ...((who.driver === undefined ? undefined : fleet.drivers.get(who.driver))?.questions ?? []),
    ...(vehicle?.questions ?? []),
  ]);
  return [...ids]
    .flatMap((id) => fleet.questions.get(id) ?? [])
    .filter((q) => !vehicle || (q.kind !== 'odometer' && q.kind !== 'hours') || q.kind === vehicle.counter);
}

/** The number of a credential that stands for a driver or a vehicle: one that has not been stopped, where there is one. */
export function credentialOf(fleet: Fleet, field: 'driver' | 'vehicle', id: string): string {
  const all = [...fleet.credentials.values()].filter((c) => c[field] === id);
  return (all.find((c) => !c.stopped) ?? all[0])?.number ?? '';
}
