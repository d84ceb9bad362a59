import { parseUpTopic } from '@fillwright/wire';
import type { Logger } from 'pino';
import type { App } from '../app.ts';
import type { Link } from './contract.ts';
import { noneGreeted } from './greeted.ts';
import { hearing } from './hear.ts';
import { inTurn } from './in-turn.ts';
import type { Line } from './line.ts';
import { sayings } from './say.ts';

const TIME_EVERY_MS = 20_000;
/** A box minds when it has heard none for three days. */
const AFRESH_EVERY_MS = 6 * 3_600_000;

/** `keyTaken` hears that a box goes by a newer key of the office. */
export function openLink(app: App, line: () => Line | undefined, log: Logger, keyTaken: () => Promise<unknown>): Link {
  const turns = inTurn();
  const greeted = noneGreeted();
  const say = sayings(app, line);
  const { hear, store } = hearing(app, say, greeted, log, keyTaken);

  const time = setInterval(() => {
    for (const fleet of new Set(greeted.all().map(([fleet]) => fleet))) say.time(fleet);
  }, TIME_EVERY_MS).unref();

  // A word that is never said afresh cannot be told from one that somebody holds back.
  const afresh = setInterval(() => {
    for (const [fleet, site] of greeted.all())
      say.wanted(fleet, site).catch((cause) => log.error(cause, 'what is wanted could not be said afresh'));
  }, AFRESH_EVERY_MS).unref();

  return {
    take: store,
    heard(topic, payload) {
      const from = parseUpTopic(topic);
      if (!from) return Promise.resolve();
      const { fleet, site, kind } = from;
      // One site's messages keep their order; sites do not wait for each other.
      return turns.do(`${fleet}/${site}`, () => hear[kind](fleet, site, payload));
    },
    came: greeted.forget,
    // Every site is greeted anew at its next word: what it already has, it takes again without harm.
    opened: greeted.forgetAll,
    sendKeys: say.officeKeys,
    sendWanted: say.wanted,
    sendStops: say.stops,
    sayStop: say.stop,
    sendPins: say.pins,
    sayStored: say.stored,
    async stop() {
      clearInterval(time);
      clearInterval(afresh);
      await turns.done();
    },
  };
}
