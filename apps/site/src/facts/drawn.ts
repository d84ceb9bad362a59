import type { Tally } from '@fillwright/core/decide';
import type { Entry, EntryOf } from '@fillwright/core/island';
import { dateOfDay, dayOfDate, formatDate, localMoment, parseDate, type ZoneTable } from '@fillwright/core/units';
import type { StateWrites } from '@fillwright/journal';
import type { UsageTotal } from '@fillwright/wire';
import { z } from 'zod';
import type { Absorbed } from './absorb.ts';

/**
 * What each holder has drawn under each allowance, a local day at a time: here, and at the other sites as the office tells it. A fill that
 * is not over counts with its whole limit, so that two fills at once cannot pass a limit together. A fill without fuel counts for nothing.
 */

const row = z.tuple([z.string(), z.string(), z.string(), z.int(), z.int()]);
type Row = z.infer<typeof row>;
const rows = z.array(row);
/** site, holder, allowance -> [volume, fills]. */
type Day = Map<string, { volume: number; fills: number }>;

const keyOf = (...parts: readonly string[]) => parts.join('\n');
const nameOf = (day: number) => `drawn:${formatDate(day)}`;

/** The days that any period can still ask for: this month, the week that began before it, and a day on either side. */
function daysInReach(day: number): { readonly from: number; readonly to: number } {
  const { year, month } = dateOfDay(day);
  return { from: dayOfDate(year, month, 1) - 8, to: day + 1 };
}

export interface DrawnOptions {
  readonly site: string;
  readonly zone: () => ZoneTable | undefined;
  readonly tally: Tally;
  readonly get: (key: string) => string | undefined;
}

export class Drawn {
  readonly #days = new Map<number, Day>();
  readonly #open = new Map<string, EntryOf<'authorised'>>();
  readonly #options: DrawnOptions;

  constructor(options: DrawnOptions) {
    this.#options = options;
  }

  /** Reads the days that can still be asked for. */
  load(day: number): void {
    const { from, to } = daysInReach(day);
    for (let d = from; d <= to; d++) this.#at(d);
  }

  /**
   * What is known of a day. One that was not read at the start is read now: by a clock that was far off then, today was not among the
   * days that could be asked for, and what is written of it next must not take the place of what is kept.
   */
  #at(day: number): Day | undefined {
    const known = this.#days.get(day);
    if (known) return known;
    const text = this.#options.get(nameOf(day));
    if (text === undefined) return undefined;
    const map: Day = new Map();
    this.#days.set(day, map);
    for (const [site, holder, allowance, volume, fills] of rows.parse(JSON.parse(text))) {
      map.set(keyOf(site, holder, allowance), { volume, fills });
      this.#tell(day, site, holder, allowance);
    }
    return map;
  }

  /** A fill that was open when the box went down. */
  reopen(fill: string, entry: EntryOf<'authorised'>): void {
    this.#open.set(fill, entry);
    this.#tellCharged(entry);
  }

  absorb(entry: Entry, id: string): Absorbed | undefined {
    if (entry.kind === 'authorised') return { writes: {}, commit: () => this.reopen(id, entry) };
    if (entry.kind !== 'ended') return undefined;
    const open = this.#open.get(entry.fill);
    if (!open) return undefined;
    const day = this.#dayOf(open.at);
    const map: Day = new Map(this.#at(day));
    if (entry.ul > 0) {
      for (const { holder, allowance } of open.charged) {
        const key = keyOf(this.#options.site, holder, allowance);
        const before = map.get(key) ?? { volume: 0, fills: 0 };
        map.set(key, { volume: before.volume + entry.ul, fills: before.fills + 1 });
      }
    }
    return {
      writes: entry.ul > 0 && open.charged.length > 0 ? { [nameOf(day)]: textOf(map) } : {},
      commit: () => {
        this.#days.set(day, map);
        this.#open.delete(entry.fill);
        this.#tellCharged(open);
      },
    };
  }

  /**
   * Takes totals that the office tells; of one site, holder, allowance and day the one with the most fills holds. Those of this site
   * count too: a box that replaces another goes on from what the other let through.
   */
  hear(totals: readonly UsageTotal[], today: number): Absorbed {
    // No bound ahead: a clock that began anew must not make a box deaf to what was drawn elsewhere.
    const { from } = daysInReach(today);
    const changed = new Map<number, Day>();
    const told: [number, string, string, string][] = [];
    for (const t of totals) {
      const day = parseDate(t.date);
      if (day === undefined || day < from) continue;
      const map = changed.get(day) ?? new Map(this.#at(day));
      const key = keyOf(t.site, t.holder, t.allowance);
      const known = map.get(key);
      const more = !known || t.fills > known.fills || (t.fills === known.fills && t.volume > known.volume);
      if (!more) continue;
      map.set(key, { volume: t.volume, fills: t.fills });
      changed.set(day, map);
      told.push([day, t.site, t.holder, t.allowance]);
    }
    const writes: Record<string, string> = {};
    for (const [day, map] of changed) writes[nameOf(day)] = textOf(map);
    return {
      writes,
      commit: () => {
        for (const [day, map] of changed) this.#days.set(day, map);
        for (const t of told) this.#tell(...t);
      },
    };
  }

  /** Drops what no period asks for any more. */
  forget(today: number): StateWrites {
    const { from } = daysInReach(today);
    const writes: Record<string, undefined> = {};
    for (const day of this.#days.keys()) if (day < from) writes[nameOf(day)] = undefined;
    for (const day of [...this.#days.keys()]) if (day < from) this.#days.delete(day);
    this.#options.tally.forgetBefore(from);
    return writes;
  }

  #dayOf(at: number): number {
    const zone = this.#options.zone();
    return zone ? localMoment(zone, at).day : Math.floor(at / 86_400_000);
  }

  #tellCharged(entry: EntryOf<'authorised'>): void {
    const day = this.#dayOf(entry.at);
    for (const { holder, allowance } of entry.charged) this.#tell(day, this.#options.site, holder, allowance);
  }

  #tell(day: number, site: string, holder: string, allowance: string): void {
    const ended = this.#at(day)?.get(keyOf(site, holder, allowance)) ?? { volume: 0, fills: 0 };
    let { volume, fills } = ended;
    if (site === this.#options.site) {
      for (const open of this.#open.values()) {
        const mine = open.charged.some((c) => c.holder === holder && c.allowance === allowance);
        if (!mine || this.#dayOf(open.at) !== day) continue;
        volume += open.limitUl;
        fills += 1;
      }
    }
    this.#options.tally.set({ site, holder, allowance, day, volume, fills });
  }
}

const textOf = (map: Day): string =>
  JSON.stringify(
    [...map].map(([key, { volume, fills }]): Row => {
      const [site, holder, allowance] = key.split('\n') as [string, string, string];
      return [site, holder, allowance, volume, fills];
    }),
  );
