import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import {
  type GotMessage,
  type KeysMessage,
  MOST_BUNDLE_BYTES,
  type SignedText,
  stopOrder,
  type UpKind,
  type WantedMessage,
} from '@fillwright/wire';
import type { Logger } from 'pino';
import { type Checked, checkBundle, type Expected } from '../bundles/check.ts';
import { laidUp, refusedOne } from '../bundles/shelf.ts';
import type { BundleStore } from '../bundles/store.ts';
import type { Clock } from '../clock.ts';
import type { SiteRecord } from '../facts/record.ts';
import { waitMs } from '../link/outbox.ts';
import type { Sender } from '../link/sender.ts';
import type { Heard } from '../link/wire.ts';
import type { PinKeeper } from '../pins/keeper.ts';
import { noticedAt, toldTime } from './notices.ts';
import type { SiteTime } from './time.ts';
import type { OfficeTrust } from './trust.ts';

export interface OfficeOptions {
  readonly expected: Expected;
  readonly trust: OfficeTrust;
  readonly store: BundleStore;
  readonly record: SiteRecord;
  readonly pins: PinKeeper;
  readonly sender: Sender;
  readonly time: SiteTime;
  readonly clock: Clock;
  readonly random: () => number;
  readonly log: Logger;
  readonly say: (kind: UpKind, value: object) => boolean;
  /** Also told to who carries word by hand. */
  readonly got: (message: GotMessage) => void;
  readonly nameOfCard: (number: string) => string;
  /** A checked bundle lies on the shelf. */
  readonly bundleHere: (checked: Checked) => void;
  /** Everything up to `seq` is stored at the office. */
  readonly stored: (seq: number) => void;
  readonly stopsChanged: () => void;
  /** By id; whatever flows on them ends. */
  readonly cardsStopped: (credentials: readonly string[]) => void;
  readonly changed: () => void;
}

/** What the site does with what the office says. */
export interface Office {
  hear(message: Heard, retained: boolean): void;
  close(): void;
}

export function openOffice(options: OfficeOptions): Office {
  const { store, record, log, clock } = options;
  let wanted: number | undefined;
  let callOff = () => {};
  let closed = false;
  const got = (message: GotMessage) => {
    options.got(message);
    options.say('got', message);
  };

  /** Asks for the wanted bundle until it has come, less and less often. */
  function fetch(tries = 0): void {
    callOff();
    const shelf = store.shelf();
    if (
      wanted === undefined ||
      wanted <= shelf.newest ||
      wanted === shelf.waiting ||
      wanted === shelf.refused?.revision
    )
      return;
    options.say('fetch', { revision: wanted });
    callOff = clock.after(waitMs(tries, options.random()), () => fetch(tries + 1));
  }

  /** A notice that is not the office's, or older than the last, tells nothing; one that is not signed is a hint and not a fresh word. */
  function hearWanted(message: WantedMessage): void {
    if (message.bytes > MOST_BUNDLE_BYTES) {
      log.warn({ bytes: message.bytes, most: MOST_BUNDLE_BYTES }, 'a bundle is offered that is larger than any may be');
      return;
    }
    if (message.notice) {
      const at = noticedAt(message.notice, message, options.expected);
      if (at === undefined || at < (record.noticeAt ?? 0)) {
        log.warn({ revision: message.revision, at }, 'a notice that is not the office’s, or older than its last');
        return;
      }
      record.noticed(at);
      options.changed();
    }
    wanted = message.revision;
    fetch();
  }

  function take(text: SignedText): void {
    const checked = newBundle(text, options.expected, store.shelf().newest);
    if (!checked.ok) {
      const { revision, problem: refused } = checked.error;
      log.warn({ revision, code: refused.code, found: refused.found, expected: refused.expected }, refused.cause);
      if (revision !== undefined && revision > store.shelf().newest)
        store.keep(refusedOne(store.shelf(), revision, refused));
    } else {
      const { revision } = checked.value.bundle;
      const written = store.put(revision, text);
      const kept = written.ok ? store.keep(laidUp(store.shelf(), revision)) : written;
      if (kept.ok) options.bundleHere(checked.value);
      else log.error({ code: kept.error.code, found: kept.error.found }, kept.error.cause);
    }
    options.changed();
  }

  function hearKeys(message: KeysMessage): void {
    const done = options.trust.hear(message);
    if (done === 'refused') {
      log.warn({ version: options.trust.version }, 'a key that the office did not give on, or not to this box’s own');
      return;
    }
    if (done === 'followed') log.info({ version: options.trust.version }, 'the office’s key was given on');
    if (options.trust.version > 0) got({ kind: 'key', version: options.trust.version });
  }

  function stop(text: SignedText): void {
    const order = readStop(text, options.expected);
    if (!order.ok) {
      log.warn({ found: order.error.found }, 'an urgent stop cannot be taken');
      return;
    }
    const taken = record.takeStop(order.value, options.time.clock.now(), options.nameOfCard);
    if (!taken.ok) {
      log.error({ code: taken.error.code }, taken.error.cause);
      return;
    }
    options.stopsChanged();
    options.cardsStopped(taken.value.map(options.nameOfCard));
    // The office is waiting for this word; what the journal tells of it comes after.
    got({ kind: 'stop', id: order.value.id });
    options.sender.push();
  }

  return {
    hear(message, retained) {
      if (closed) return;
      if (message.kind === 'ack') {
        const trouble = options.sender.ack(message.value);
        if (trouble) log.error({ code: trouble.code, found: trouble.found }, trouble.cause);
        else if (message.value.epoch === record.journal.epoch) options.stored(message.value.upTo);
        record.officeHas(message.value.epoch, message.value.upTo);
      } else if (message.kind === 'again') {
        record.officeLacks(message.value.epoch, message.value.after);
        options.sender.again(message.value);
      } else if (message.kind === 'wanted') hearWanted(message.value);
      else if (message.kind === 'bundle') take(message.value);
      else if (message.kind === 'stop') stop(message.value);
      else if (message.kind === 'keys') hearKeys(message.value);
      else if (message.kind === 'pins')
        options.pins.take(message.value).then(
          (done) => {
            if (closed) return;
            if (done.ok) got({ kind: 'pins', version: done.value });
            else log.error({ code: done.error.code }, done.error.cause);
          },
          (error) => log.error({ error: String(error) }, 'PINs could not be taken'),
        );
      else if (message.kind === 'usage') {
        const kept = record.hearUsage(message.value.totals);
        if (!kept.ok) log.error({ code: kept.error.code }, kept.error.cause);
      } else if (!retained) {
        // A retained word is old: it tells neither the time nor that anybody is there.
        const at = toldTime(message.value, options.expected);
        const moved = at === undefined ? 'old' : options.time.hear(at);
        if (moved === 'old') {
          log.warn({ at }, 'a time that is not the office’s, or was held back');
          return;
        }
        if (moved) {
          // By a clock that was far off, the totals of other days were at hand.
          record.begin();
          record.append({ kind: 'clock', at: moved.is, ...moved, by: 'the office' });
          options.sender.push();
        }
        options.changed();
      }
    },
    close() {
      closed = true;
      callOff();
    },
  };
}

interface Refused {
  readonly revision: number | undefined;
  readonly problem: Problem;
}

function newBundle(text: SignedText, expected: Expected, newest: number): Result<Checked, Refused> {
  const checked = checkBundle(text, expected);
  if (!checked.ok) return err({ revision: claimedRevision(text), problem: checked.error });
  const { revision } = checked.value.bundle;
  if (revision > newest) return checked;
  const older = {
    cause: 'It is not newer than what this box has run.',
    found: String(revision),
    expected: `above ${newest}`,
  };
  return err({ revision, problem: problem('FW-306', older) });
}

/** For the report only: nothing is believed of a bundle that did not pass. */
function claimedRevision(text: SignedText): number | undefined {
  try {
    const { revision } = JSON.parse(text.signed) as { revision?: unknown };
    return typeof revision === 'number' && Number.isSafeInteger(revision) && revision >= 0 ? revision : undefined;
  } catch {
    return undefined;
  }
}

function readStop(text: SignedText, expected: Expected) {
  const bad = (found: string) => err(problem('FW-306', { cause: 'The urgent stop is not one for this site.', found }));
  const order = stopOrder.safeParse(expected.office.open(text));
  if (!order.success) return bad('signature or form');
  return order.data.site === expected.site ? ok(order.data) : bad(order.data.site);
}
