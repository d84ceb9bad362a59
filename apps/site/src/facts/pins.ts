import type { Entry } from '@fillwright/core/island';
import { z } from 'zod';
import { attempted, type LockRule, noTries, type Tries } from '../pins/tries.ts';
import type { Absorbed } from './absorb.ts';

const shape = z.strictObject({ wrong: z.int(), at: z.int(), locked: z.boolean() });

const keyOf = (driver: string) => `tries:${driver}`;

/** Wrong PINs by driver: each attempt is counted by the same write that journals it. */
export class PinTries {
  readonly #get: (key: string) => string | undefined;
  readonly #rule: () => LockRule;
  constructor(get: (key: string) => string | undefined, rule: () => LockRule) {
    this.#get = get;
    this.#rule = rule;
  }

  of(driver: string): Tries {
    const text = this.#get(keyOf(driver));
    return text === undefined ? noTries : shape.parse(JSON.parse(text));
  }

  absorb(entry: Entry): Absorbed | undefined {
    if (entry.kind !== 'pin' || (entry.step !== 'attempt' && entry.step !== 'right')) return undefined;
    const tries = entry.step === 'right' ? noTries : attempted(this.of(entry.driver), entry.at, this.#rule());
    return { writes: { [keyOf(entry.driver)]: JSON.stringify(tries) }, commit: () => undefined };
  }
}
