import type { Clock } from '../clock.ts';
import type { SiteRecord } from '../facts/record.ts';

/**
 * The box's own clock, corrected by what the office tells. Dates and times decide who may draw, so a clock that cannot be right (FW-604) serves
 * nobody until the office has told the time or somebody has set it. A yard at another pace than the world's is let be.
 */
export interface SiteTime {
  readonly clock: Clock;
  /** True while the clock cannot be right. */
  readonly inDoubt: boolean;
  /** Takes the office's time, which it signed; says whether the clock was moved, or that the word is an old one. */
  hear(at: number): { readonly was: number; readonly is: number } | 'old' | undefined;
  /** True while the office has not been heard for longer than it may. */
  readonly cutOff: boolean;
  /** The time by the office's last word, undefined before the first: what is let go of by age goes by it and not by a clock that may run ahead. */
  readonly sure: number | undefined;
}

/** A clock that differs by less is left alone. */
const BEARABLE_MS = 60_000;
/** Nothing was built before it. */
const NEVER_BEFORE = Date.UTC(2026, 0, 1);
/** So long without a word from the office, and other sites' use is not known well enough: common practice, no source. */
const CUT_OFF_AFTER_MS = 15 * 60_000;

export interface SiteTimeOptions {
  readonly clock: Clock;
  readonly record: SiteRecord;
  /** Alone: there is no office to be cut off from. */
  readonly alone: boolean;
  readonly cutOffAfterMs?: number;
}

export function openSiteTime({ clock, record, alone, cutOffAfterMs = CUT_OFF_AFTER_MS }: SiteTimeOptions): SiteTime {
  let offset: number | undefined;
  let heardAt: number | undefined;
  let told: { readonly at: number; readonly since: number } | undefined;
  const offsetNow = () => {
    offset ??= clock.pace === 1 ? Number(record.journal.get('clockOffset') ?? 0) : 0;
    return offset;
  };
  /** Whoever holds the broker can keep a word back and play it later: since the last one, as much time must have passed at the office as here. */
  const isOld = (at: number) => {
    const least = told ? told.at + (clock.monotonic() - told.since) / clock.pace : record.toldAt;
    return at < least - BEARABLE_MS && Math.abs(at - clock.now()) > BEARABLE_MS;
  };
  // A clock that began anew after it was corrected would stand before 1970, and no entry may.
  const own: Clock = { ...clock, now: () => Math.max(0, clock.now() + offsetNow()) };
  return {
    clock: own,
    get inDoubt() {
      return clock.pace === 1 && (own.now() < NEVER_BEFORE || own.now() < record.latest - BEARABLE_MS);
    },
    hear(at) {
      if (isOld(at)) return 'old';
      heardAt = clock.monotonic();
      told = { at, since: heardAt };
      const was = own.now();
      record.heard(at, was);
      if (clock.pace !== 1 || Math.abs(at - was) <= BEARABLE_MS) return undefined;
      offset = offsetNow() + at - was;
      record.journal.set('clockOffset', String(offset));
      if (at < was) record.setLatest(at);
      return { was, is: at };
    },
    get sure() {
      if (alone || clock.pace !== 1) return own.now();
      return told && told.at + clock.monotonic() - told.since;
    },
    get cutOff() {
      if (alone) return false;
      heardAt ??= clock.monotonic() - Math.max(0, own.now() - record.heardAt);
      return (clock.monotonic() - heardAt) / clock.pace > cutOffAfterMs;
    },
  };
}
