import type { LanguageId, Layout, LayoutName } from '../fleet/index.ts';
import type { Chart } from '../metering/index.ts';
import type { Microlitres, Money, VolumeUnit } from '../units/index.ts';
import type { AlarmCode, AskedFacts, EndReason, Entry, EntryOf, EntryRef, StepFact } from './entries.ts';

/** The site as a machine: everything that comes in is an event with its moment, everything that goes out is an effect. */

export interface HosePlan {
  readonly id: string;
  /** As painted on the island; what a person keys. */
  readonly number: number;
  readonly product: string;
  readonly productName: string;
  readonly channel: number;
  /** Thousandths of a pulse per gallon or litre. */
  readonly pulsesPerMeasure: number;
  readonly flowUlPerMin: number;
  readonly liftS: number;
  readonly firstPulseS: number;
  readonly noPulseS: number;
  readonly longestMin: number;
  readonly terminals: readonly string[];
  readonly tanks: readonly string[];
  readonly active: boolean;
}

export interface TerminalPlan {
  readonly id: string;
  readonly name: string;
  readonly columns: number;
  readonly rows: number;
  /** Receipt columns; null where there is no printer. */
  readonly paper: number | null;
  readonly siteName: string;
  readonly siteAddress: string;
  /** That a driver may choose; the first is shown while nobody is there. */
  readonly languages: readonly Language[];
  /** Null: the usual one. */
  readonly layouts: Readonly<Record<LayoutName, Layout | null>>;
  readonly idle: readonly string[];
  readonly receiptHead: readonly string[];
  readonly receiptFoot: readonly string[];
  readonly receiptDays: number;
  readonly answerS: number;
  readonly refusedS: number;
}

export interface TankPlan {
  readonly id: string;
  readonly name: string;
  readonly product: string;
  readonly low: Microlitres;
  readonly mostWaterMm: number;
  readonly whenProbeLost: 'note' | 'stop';
  /** By which a level becomes a volume where the gauge gives none; null where the fleet declares no chart. */
  readonly chart: Chart | null;
}

export interface QuestionPlan {
  readonly id: string;
  readonly prompt: string;
  readonly kind: 'odometer' | 'hours' | 'job' | 'text';
  readonly digits: number;
}

/** What the machine needs of a released fleet, for one site. Plain data. */
export interface YardPlan {
  readonly site: string;
  readonly siteName: string;
  readonly active: boolean;
  readonly unit: VolumeUnit;
  readonly currency: string;
  readonly revision: number;
  readonly terminals: Readonly<Record<string, TerminalPlan>>;
  readonly hoses: Readonly<Record<string, HosePlan>>;
  readonly tanks: Readonly<Record<string, TankPlan>>;
  readonly questions: Readonly<Record<string, QuestionPlan>>;
}

export type Language = LanguageId;
export type PinResult = 'notAsked' | 'right' | 'wrong' | 'locked' | 'notSet';

/** What must still be asked of a person, in order. */
export type AskFact =
  | { readonly ask: 'credential'; readonly of: 'driver' | 'vehicle' | 'either' }
  | { readonly ask: 'pin' }
  | { readonly ask: 'question'; readonly question: string };

/** A decision as plain data: what the machine needs of it and what goes on the record. */
export type DecisionFacts =
  | {
      readonly approved: true;
      readonly limit: Microlitres;
      /** The rule whose limit is the least. */
      readonly rule: string;
      readonly driver?: string;
      readonly vehicle?: string;
      readonly charged: readonly { readonly holder: string; readonly allowance: string }[];
      readonly product: string;
      /** In force now, per gallon or litre; null when there is none. */
      readonly price: Money | null;
      readonly steps: readonly StepFact[];
      readonly notes: readonly StepFact[];
      readonly cutOff: boolean;
    }
  | {
      readonly approved: false;
      readonly rule: string;
      readonly driver?: string;
      readonly vehicle?: string;
      readonly steps: readonly StepFact[];
      readonly asked?: AskedFacts;
    };

/** What a session has gathered; goes out with the 'ask' and 'decide' effects. */
export interface Gathered {
  /** Numbers as the reader gave them, in order: one or two. */
  readonly credentials: readonly string[];
  readonly pin: PinResult;
  readonly answers: Readonly<Record<string, string>>;
}

export type Key = '0' | '1' | '2' | '3' | '4' | '5' | '6' | '7' | '8' | '9' | 'enter' | 'clear' | 'cancel';

/** Why a hose may not be armed; several may hold at once. How each is lifted is in BLOCKS. */
export type Block =
  | 'eStop'
  | 'mains'
  | 'tankLow'
  | 'water'
  | 'probe'
  | 'device'
  | 'service'
  | 'doubt'
  | 'stray'
  | 'valve';

export type Hold = 'eStop' | 'mains' | 'closed';

export interface TimerId {
  readonly of: 'hose' | 'terminal';
  readonly id: string;
  readonly name: string;
  /** Which start of it: an older one that fires late is known by this and ignored. */
  readonly n: number;
}

/** Every event carries `at`, milliseconds UTC. */
export type IslandEvent = { readonly at: number } & (
  | { readonly kind: 'credential'; readonly terminal: string; readonly number: string }
  | { readonly kind: 'misread'; readonly terminal: string }
  | { readonly kind: 'key'; readonly terminal: string; readonly key: Key }
  /** A hose touched on a screen; the same as keying its number. */
  | { readonly kind: 'choose'; readonly terminal: string; readonly hose: string }
  /** A text answer from a screen with letters; the same as keying it and enter. */
  | { readonly kind: 'answer'; readonly terminal: string; readonly text: string }
  | { readonly kind: 'language'; readonly terminal: string; readonly language: Language }
  /** The last one from here, of one hose, or of one fill. */
  | { readonly kind: 'receipt'; readonly terminal: string; readonly hose?: string; readonly fill?: string }
  /** The runner's answers. `session` is the one that the effect named; an answer for an older session is ignored. */
  | {
      readonly kind: 'asks';
      readonly terminal: string;
      readonly session: number;
      readonly asks: readonly AskFact[];
      /** Ids of the credentials; a number that nobody has is given as 'unknown-' and its last four digits. */
      readonly credentials: readonly string[];
      readonly driver?: string;
      readonly vehicle?: string;
      /** When the decision is a refusal already, whatever else is asked: its rule and steps. */
      readonly refused?: { readonly rule: string; readonly steps: readonly StepFact[]; readonly asked?: AskedFacts };
    }
  | {
      readonly kind: 'pinChecked';
      readonly terminal: string;
      readonly session: number;
      readonly result: Exclude<PinResult, 'notAsked'>;
    }
  | { readonly kind: 'decided'; readonly terminal: string; readonly session: number; readonly decision: DecisionFacts }
  /** The journal's answer to a 'journal' effect that had a tag. */
  | { readonly kind: 'journalled'; readonly tag: string; readonly ref: EntryRef }
  | { readonly kind: 'notJournalled'; readonly tag: string }
  /** From the yard. `count` is the absolute counter of the hose, never wrapping. */
  | { readonly kind: 'armed'; readonly hose: string; readonly count: number }
  | { readonly kind: 'disarmed'; readonly hose: string; readonly count: number }
  | { readonly kind: 'lifted'; readonly hose: string }
  | { readonly kind: 'hung'; readonly hose: string }
  | { readonly kind: 'pulses'; readonly hose: string; readonly count: number }
  | { readonly kind: 'fault'; readonly hose: string; readonly words: string }
  | { readonly kind: 'returned'; readonly hose: string; readonly count: number; readonly lifted: boolean }
  | {
      readonly kind: 'level';
      readonly tank: string;
      readonly levelMm?: number;
      readonly waterMm?: number;
      readonly tempC?: number;
      readonly ul?: Microlitres;
    }
  | { readonly kind: 'probeLost'; readonly tank: string }
  | { readonly kind: 'eStop'; readonly on: boolean }
  | { readonly kind: 'mains'; readonly on: boolean }
  | { readonly kind: 'due'; readonly timer: TimerId }
  /** A person at the site or at the office sets a block aside after looking: e-stop reset, hose checked. */
  | { readonly kind: 'cleared'; readonly hose?: string; readonly block: Block; readonly by: string }
  /** The office stopped credentials by an urgent order; ids as in 'asks'. */
  | { readonly kind: 'cardStopped'; readonly credentials: readonly string[] }
  /** The decoder of a pulser doubts the signal: what came is in the count, what is doubtful is not. */
  | { readonly kind: 'pulserDoubt'; readonly hose: string; readonly words: string }
  | { readonly kind: 'service'; readonly hose: string; readonly out: boolean; readonly by: string }
  /** The box is being stopped: what flows ends first. */
  | { readonly kind: 'closing' }
  | { readonly kind: 'plan'; readonly plan: YardPlan; readonly why: string }
);
export type EventKind = IslandEvent['kind'];
export type EventOf<K extends EventKind> = Extract<IslandEvent, { kind: K }>;

export type ScreenName =
  | 'idle'
  | 'wait'
  | 'card'
  | 'misread'
  | 'pin'
  | 'pinWrong'
  | 'question'
  | 'choose'
  | 'busy'
  | 'authorised'
  | 'flowing'
  | 'filled'
  | 'refused'
  | 'out'
  | 'receipt'
  | 'noReceipt';

/** What the words of a screen are filled with. */
export type ScreenData = Readonly<Record<string, string | number | readonly string[]>>;

export interface ReceiptFacts {
  readonly fill: string;
  readonly at: number;
  readonly hose: number;
  readonly productName: string;
  readonly ul: Microlitres;
  readonly unit: VolumeUnit;
  readonly price: Money | null;
  readonly amount: Money | null;
  readonly currency: string;
  readonly driver?: string;
  readonly vehicle?: string;
  readonly answers: Readonly<Record<string, string>>;
  readonly reason: EndReason;
}

export type Effect =
  | {
      readonly do: 'show';
      readonly terminal: string;
      readonly screen: ScreenName;
      readonly language: Language;
      readonly data: ScreenData;
    }
  | { readonly do: 'beep'; readonly terminal: string; readonly tone: 'key' | 'good' | 'bad' }
  /** Find what must still be asked; answer with 'asks'. */
  | { readonly do: 'ask'; readonly terminal: string; readonly session: number; readonly gathered: Gathered }
  /** Compare; answer with 'pinChecked'. The attempt is durable already. */
  | {
      readonly do: 'checkPin';
      readonly terminal: string;
      readonly session: number;
      readonly driver: string;
      readonly digits: string;
    }
  /** Decide; answer with 'decided'. */
  | {
      readonly do: 'decide';
      readonly terminal: string;
      readonly session: number;
      readonly hose: string;
      readonly gathered: Gathered;
    }
  /** Append to the journal; when it has a tag, answer with 'journalled' once it is durable, or 'notJournalled'. */
  | { readonly do: 'journal'; readonly entry: Entry; readonly tag?: string }
  /** Open the hose. The device itself closes at `stopAtPulses` counted from arming and slows at `slowAtPulses`. */
  | {
      readonly do: 'arm';
      readonly hose: string;
      readonly fill: string;
      readonly stopAtPulses: number;
      readonly slowAtPulses: number;
    }
  | { readonly do: 'disarm'; readonly hose: string }
  | { readonly do: 'start'; readonly timer: TimerId; readonly ms: number }
  | { readonly do: 'stop'; readonly timer: TimerId }
  /** A plan that came by a 'plan' event: taken, or kept out because somebody is at a terminal or a hose. */
  | { readonly do: 'planTaken'; readonly revision: number }
  | { readonly do: 'planKept'; readonly revision: number }
  | { readonly do: 'print'; readonly terminal: string; readonly language: Language; readonly receipt: ReceiptFacts };

export type SessionName =
  | 'idle'
  | 'asking'
  | 'card'
  | 'pin'
  | 'pinCheck'
  | 'question'
  | 'choosing'
  | 'deciding'
  | 'granting'
  | 'authorised'
  | 'flowing'
  | 'filled'
  | 'refused'
  | 'busy'
  | 'out';

export interface Session {
  readonly name: SessionName;
  /** Counts up with every person. */
  readonly number: number;
  readonly language: Language;
  /** Somebody has chosen the language since the terminal last had nobody to ask: the next session begins in it. */
  readonly chosen: boolean;
  readonly gathered: Gathered;
  /** What asks told. */
  readonly credentialIds: readonly string[];
  readonly driver?: string;
  readonly vehicle?: string;
  readonly asks: readonly AskFact[];
  /** Keyed so far. */
  readonly typed: string;
  readonly hose?: string;
  /** Why it was refused, is out of service or could not have the hose. */
  readonly why?: string;
  readonly timer: TimerId | null;
  /** Receipts of fills begun here, newest first. */
  readonly receipts: readonly ReceiptFacts[];
}

export type HoseName =
  | 'idle'
  | 'claimed'
  | 'recording'
  | 'arming'
  | 'armed'
  | 'lifted'
  | 'flowing'
  | 'slowing'
  | 'stopping'
  | 'closing'
  | 'blocked';

/** Who asked for a hose and what was decided. */
export interface Grant {
  readonly terminal: string;
  readonly session: number;
  readonly language: Language;
  readonly credentials: readonly string[];
  readonly answers: Readonly<Record<string, string>>;
  readonly decision: Extract<DecisionFacts, { approved: true }>;
}

export interface Fill {
  /** Names the fill's journal tags. */
  readonly n: number;
  readonly grant: Grant;
  /** Known once the authorisation is durable; armed only then. */
  readonly id: string | null;
  readonly limitPulses: number;
  readonly stopAtPulses: number;
  readonly slowAtPulses: number;
  readonly unit: VolumeUnit;
  readonly pulsesPerMeasure: number;
  /** The counter when the hose was armed. */
  readonly base: number | null;
  readonly armedAt: number | null;
  readonly firstPulseAt: number | null;
  /** Counted so far. */
  readonly pulses: number;
  /** When its terminal was last told how far it is. */
  readonly toldAt: number;
  /** Where the last checkpoint stood. */
  readonly noted: { readonly pulses: number; readonly at: number };
  readonly curve: readonly (readonly [number, number])[];
  readonly timers: readonly string[];
  readonly reason: EndReason | null;
  /** What the valve is told to close for is done: the dispenser confirmed. */
  readonly closed: boolean;
  /** The end entry, once it has been written out; kept so that it can be tried again. */
  readonly end: EntryOf<'ended'> | null;
}

export interface HoseState {
  readonly name: HoseName;
  /** Last absolute count; null until the device has told one. */
  readonly count: number | null;
  readonly countAt: number;
  readonly nozzleOut: boolean;
  readonly blocks: readonly Block[];
  readonly holder: { readonly terminal: string; readonly session: number } | null;
  readonly fill: Fill | null;
  /** Pulses that ran on after closing at the limit, newest last, at most 20. */
  readonly lags: readonly number[];
  /** Pulses without authorisation that no alarm entry tells of yet. */
  readonly stray: number;
  /** When the last fill was closed; 0 when there was none. */
  readonly closedAt: number;
  readonly timers: Readonly<Record<string, TimerId>>;
}

export interface TankState {
  readonly ul: Microlitres | null;
  readonly levelMm: number | null;
  readonly waterMm: number | null;
  readonly tempC: number | null;
  readonly lost: boolean;
  /** What its last reading forbids. */
  readonly forbids: readonly ('tankLow' | 'water' | 'probe')[];
  /** When a level at rest was last journalled; null when none was since somebody last drew from this tank. */
  readonly restAt: number | null;
}

export interface IslandState {
  readonly plan: YardPlan;
  readonly sessions: Readonly<Record<string, Session>>;
  readonly hoses: Readonly<Record<string, HoseState>>;
  readonly tanks: Readonly<Record<string, TankState>>;
  /** The button is pressed. Its block holds until somebody resets it, also when the button is out again. */
  readonly eStop: boolean;
  /** What holds the whole site: sessions are out of service. */
  readonly holds: readonly Hold[];
  /** Source of session numbers, timer numbers and tags. */
  readonly next: number;
}

export interface Step {
  readonly state: IslandState;
  readonly effects: readonly Effect[];
}

export type { AlarmCode, AskedFacts, EndReason, Entry, EntryRef, StepFact };
