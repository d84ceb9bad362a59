import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import type { JournalPort } from '@fillwright/journal';
import type { PinsMessage } from '@fillwright/wire';
import { unseal } from '@fillwright/wire/keys';
import type { Identity } from '../box/identity.ts';
import type { PinTries } from '../facts/pins.ts';
import { afterWrong, type LockRule } from './tries.ts';
import type { Verifying } from './verifier.ts';

export interface PinKeeper {
  /** Compares digits whose attempt is journalled already. */
  check(driver: string, digits: string): Promise<'right' | 'wrong' | 'locked' | 'notSet'>;
  /** Takes PINs that the office sealed to this box; gives the version that is now wholly here. */
  take(message: PinsMessage): Promise<Result<number, Problem>>;
}

export interface PinKeeperOptions {
  readonly identity: Identity;
  readonly journal: JournalPort;
  readonly tries: PinTries;
  readonly rule: () => LockRule;
  readonly verifying: Verifying;
}

const keyOf = (driver: string) => `pin:${driver}`;
const VERSION = 'pins';

export function pinKeeper({ identity, journal, tries, rule, verifying }: PinKeeperOptions): PinKeeper {
  let queue: Promise<unknown> = Promise.resolve();

  async function takeAll(message: PinsMessage): Promise<Result<number, Problem>> {
    const here = Number(journal.get(VERSION) ?? 0);
    if (message.version <= here) return ok(here);
    for (const { driver, sealed } of message.pins) {
      const pin = sealed === null ? null : unseal(sealed, identity.seal.privateKey);
      // What is here stays, and the office hears nothing, so that it sends again.
      if (pin === undefined)
        return err(problem('FW-607', { cause: 'A PIN was sealed to another box.', at: { row: driver } }));
      const verifier = pin === null ? undefined : await verifying.make(identity.pinSecret, driver, pin);
      const kept = journal.set(keyOf(driver), verifier);
      if (!kept.ok) return err(kept.error);
    }
    const done = journal.set(VERSION, String(message.version));
    return done.ok ? ok(message.version) : err(done.error);
  }

  return {
    async check(driver, digits) {
      const now = tries.of(driver);
      if (now.locked) return 'locked';
      const verifier = journal.get(keyOf(driver));
      if (verifier === undefined) return 'notSet';
      return (await verifying.matches(verifier, identity.pinSecret, driver, digits))
        ? 'right'
        : afterWrong(now, rule());
    },
    take(message) {
      const taken = queue.then(() => takeAll(message));
      queue = taken.catch(() => undefined);
      return taken;
    },
  };
}
