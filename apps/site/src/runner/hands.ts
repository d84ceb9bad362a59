import type { Problem, Result } from '@fillwright/core/errors';
import type { Effect, EntryRef } from '@fillwright/core/island';
import type { YardPort } from '@fillwright/devices';
import type { Logger } from 'pino';
import type { SiteRecord } from '../facts/record.ts';
import type { PinKeeper } from '../pins/keeper.ts';
import type { Deciding } from './deciding.ts';
import { answerAsk, answerDecide } from './deciding.ts';
import type { Feed } from './loop.ts';
import type { Screens } from './screens.ts';
import type { Timers } from './timers.ts';
import type { Untold } from './untold.ts';

export interface HandsOptions {
  readonly record: SiteRecord;
  readonly pins: PinKeeper;
  readonly screens: Screens;
  readonly timers: Timers;
  readonly untold: Untold;
  readonly log: Logger;
  /** The yard as it is now; undefined while it is being changed. */
  readonly yard: () => YardPort | undefined;
  readonly deciding: (terminal: string) => Deciding;
  readonly journalled: (written: Result<EntryRef, Problem>) => void;
  readonly planTaken: (revision: number) => void;
}

/** The one place where an effect becomes a wire, a file or a screen. */
export function hands(options: HandsOptions): (effect: Effect, feed: Feed) => void {
  const { record, pins, screens, timers, untold, log } = options;

  function arm(effect: Extract<Effect, { do: 'arm' }>, feed: Feed): void {
    // The machine arms only what is journalled; a wire is worth a second look.
    const durable = record.fills.kept.open.some((o) => o.fill === effect.fill) && !record.journal.refusal;
    const yard = options.yard();
    if (durable && yard) {
      const { hose, stopAtPulses, slowAtPulses } = effect;
      yard.arm({ hose, stopAtPulses, slowAtPulses });
    } else
      feed({
        kind: 'fault',
        hose: effect.hose,
        words: durable ? 'the yard is not there' : 'the fill is not on the record',
      });
  }

  function checkPin(effect: Extract<Effect, { do: 'checkPin' }>, feed: Feed): void {
    const { terminal, session, driver, digits } = effect;
    pins.check(driver, digits).then(
      (result) => feed({ kind: 'pinChecked', terminal, session, result }),
      (error) => {
        // No answer comes: the session ends by its own timer, and the attempt counts.
        log.error({ error: String(error) }, 'a PIN could not be compared');
      },
    );
  }

  return (effect, feed) => {
    switch (effect.do) {
      case 'journal': {
        const written = record.append(effect.entry);
        if (!written.ok && effect.entry.kind === 'alarm') untold.keep(effect.entry);
        options.journalled(written);
        const { tag } = effect;
        if (tag === undefined) return;
        feed(written.ok ? { kind: 'journalled', tag, ref: written.value } : { kind: 'notJournalled', tag });
        return;
      }
      case 'arm':
        arm(effect, feed);
        return;
      case 'disarm':
        options.yard()?.disarm(effect.hose);
        return;
      case 'start':
        timers.start(effect.timer, effect.ms);
        return;
      case 'stop':
        timers.stop(effect.timer);
        return;
      case 'ask': {
        const { terminal, session, gathered } = effect;
        feed({ kind: 'asks', terminal, session, ...answerAsk(options.deciding(terminal), gathered) });
        return;
      }
      case 'decide': {
        const { terminal, session, hose, gathered } = effect;
        const decision = answerDecide(options.deciding(terminal), hose, gathered);
        feed({ kind: 'decided', terminal, session, decision });
        return;
      }
      case 'checkPin':
        checkPin(effect, feed);
        return;
      case 'show':
        screens.show(effect);
        return;
      case 'beep':
        screens.beep(effect.terminal, effect.tone);
        return;
      case 'print':
        screens.print(effect, options.yard());
        return;
      case 'planTaken':
        options.planTaken(effect.revision);
        return;
      case 'planKept':
        log.info({ revision: effect.revision }, 'a new plan waits for a quiet yard');
        return;
      default:
        effect satisfies never;
    }
  };
}
