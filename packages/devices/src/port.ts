/**
 * The small port that any hardware must serve. A yard counts pulses, opens and closes hoses, and reports; it decides nothing.
 * Every promise below is checked by the suite in promises.ts, which the test of every adapter calls.
 */

/** What a yard can do beside hoses. */
export interface YardAbilities {
  readonly levels: boolean;
  readonly temperature: boolean;
  readonly eStop: boolean;
  readonly readers: boolean;
  readonly printers: boolean;
  readonly nozzleSwitch: boolean;
  /** Who keeps promise 5: the dispenser itself at its preset, or the box, which reads a counter again and again and closes an output. */
  readonly closesAtCount: 'hardware' | 'polled';
  /** The longest from the stop count to the closed output, ms, also when box or line die; the valve's own lag comes on top. 0 at a preset. */
  readonly closesWithinMs: number;
}

export interface ArmOrder {
  readonly hose: string;
  /** Counted from arming: the yard itself closes the valve at this count, whether or not anybody is listening. 1 or more. */
  readonly stopAtPulses: number;
  /** Counted from arming: the yard goes to low flow here, if it can. 0 or more, at most `stopAtPulses`. */
  readonly slowAtPulses: number;
}

/** `count` is the absolute count of a hose: a whole number that never wraps and never falls while the yard keeps its power. */
export type YardEvent =
  | { readonly kind: 'armed'; readonly hose: string; readonly count: number }
  | { readonly kind: 'disarmed'; readonly hose: string; readonly count: number }
  | { readonly kind: 'lifted'; readonly hose: string }
  | { readonly kind: 'hung'; readonly hose: string }
  /** `ageMs`: so long before it was told the count was so, where that is known: what came before it may have kept the box busy. */
  | { readonly kind: 'pulses'; readonly hose: string; readonly count: number; readonly ageMs?: number }
  /** Its edges cannot be right (see core's `takeEdge`): whatever flows is closed. */
  | { readonly kind: 'pulserDoubt'; readonly hose: string; readonly words: string }
  | { readonly kind: 'fault'; readonly hose: string; readonly words: string }
  | { readonly kind: 'returned'; readonly hose: string; readonly count: number; readonly lifted: boolean }
  | {
      readonly kind: 'level';
      readonly tank: string;
      readonly levelMm?: number;
      readonly waterMm?: number;
      readonly tempC?: number;
      readonly ul?: number;
    }
  | { readonly kind: 'probeLost'; readonly tank: string }
  | { readonly kind: 'eStop'; readonly on: boolean }
  | { readonly kind: 'mains'; readonly on: boolean }
  | { readonly kind: 'credential'; readonly terminal: string; readonly number: string }
  | { readonly kind: 'misread'; readonly terminal: string }
  | { readonly kind: 'key'; readonly terminal: string; readonly key: string };

/**
 * 1. Nothing flows from a hose that is not armed. 2. `arm` is answered by 'armed' with the count at that moment, or by 'fault'.
 * 3. `disarm` is always safe, also when nothing is armed, and is answered by 'disarmed' or 'fault'. 4. Counts are absolute and never
 * fall. 5. The yard closes by itself at `stopAtPulses`. 6. A yard that starts, or comes back, tells 'returned' for every hose and has
 * every hose closed. 7. `close` disarms everything. 8. `can.closesAtCount` says honestly who keeps 5, and within what time.
 */
export interface YardPort {
  readonly can: YardAbilities;
  /** Begins to report; called once. Events come in the order in which they happened, never inside a call of arm or disarm. */
  start(listener: (event: YardEvent) => void): void | Promise<void>;
  arm(order: ArmOrder): void;
  disarm(hose: string): void;
  /** Prints lines at a terminal, where `can.printers`. */
  print?(terminal: string, lines: readonly string[]): void;
  close(): void | Promise<void>;
}

/** Time as a yard needs it: `monotonic` never goes back, `after` calls once and gives what calls it off. */
export interface YardClock {
  monotonic(): number;
  after(ms: number, call: () => void): () => void;
}
