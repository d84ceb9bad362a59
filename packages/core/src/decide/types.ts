import type { Microlitres, ZoneTable } from '../units/index.ts';

/** What one credential is asking for, at one hose, at one moment. Every fact that the world must supply is in here. */
export interface DecisionRequest {
  readonly site: string;
  /** The hose's id. */
  readonly hose: string;
  /** The terminal at which the person stands; empty where none is meant, as when trying a hose from the desk. */
  readonly terminal?: string;
  /** Milliseconds UTC. */
  readonly at: number;
  /** Numbers of the credentials presented, in order: one or two (a driver's and a vehicle's). */
  readonly credentials: readonly string[];
  readonly pin: PinState;
  /** By question id, as keyed. */
  readonly answers: Readonly<Record<string, string>>;
}

/** What the box found of the PIN before it asked for a decision; `notAsked` while the session has not come to it. */
export type PinState = 'notAsked' | 'right' | 'wrong' | 'locked' | 'notSet';

/** What has been drawn under an allowance by a holder in the periods that hold at the request's moment, as far as the site knows. */
export interface Used {
  readonly day: Microlitres;
  readonly week: Microlitres;
  readonly month: Microlitres;
  readonly fillsToday: number;
}

/** The site's knowledge of what was drawn before. */
export interface Usage {
  /** `holder` is 'driver:ID' or 'vehicle:ID'; undefined means nothing yet. Days, weeks and months are the site's local ones. */
  used(holder: string, allowance: string, site: string, at: number): Used | undefined;
  /** The last accepted reading of a vehicle for a question of this kind, in its own unit. */
  lastReading(vehicle: string, kind: 'odometer' | 'hours'): number | undefined;
  /** True while the site has not heard of the other sites for longer than it may. */
  readonly cutOff: boolean;
}

/** The rules that decide looks at, by stable code; docs and screens take their words from `RULES`. */
export type RuleCode = keyof typeof import('./rules.ts').RULES;

export type Verdict = 'pass' | 'refuse' | 'limit' | 'ask' | 'notLookedAt';

/** One rule that was looked at, and what it said. */
export interface Step {
  readonly rule: RuleCode;
  readonly says: Verdict;
  /** Whom or what it was about: a record of the fleet. */
  readonly on?: { readonly table: string; readonly id: string };
  /** For `limit`: the most that this rule lets through. */
  readonly limit?: Microlitres;
  /** Figures for the words, such as what is left. */
  readonly facts?: Readonly<Record<string, string | number>>;
}

export interface Approval {
  readonly approved: true;
  readonly limit: Microlitres;
  /** The step whose limit is the least, so that it decides. */
  readonly by: Step;
  readonly driver?: string | undefined;
  readonly vehicle?: string | undefined;
  /** The allowances that are charged: one a holder. */
  readonly charged: readonly { readonly holder: string; readonly allowance: string }[];
  readonly product: string;
  readonly steps: readonly Step[];
  /** Things to note on the record though they do not refuse, such as an implausible reading. */
  readonly notes: readonly Step[];
}

export interface Refusal {
  readonly approved: false;
  /** The first step that refused, or that still needs an answer. */
  readonly by: Step;
  readonly driver?: string | undefined;
  readonly vehicle?: string | undefined;
  readonly steps: readonly Step[];
}

export type Decision = Approval | Refusal;

/** What the terminal must still ask of a person before a decision can approve, in order. */
export type Ask =
  | { readonly ask: 'credential'; readonly of: 'driver' | 'vehicle' | 'either' }
  | { readonly ask: 'pin' }
  | { readonly ask: 'question'; readonly question: string };

/** Zone tables by IANA name, made once at the edge. */
export type Zones = (zone: string) => ZoneTable;
