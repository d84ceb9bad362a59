import { localMoment, monthStart, weekStart, type ZoneTable } from '../units/index.ts';
import type { Usage, Used } from './types.ts';

/** What was drawn on one local day by one holder under one allowance. */
interface DayUse {
  readonly day: number;
  volume: number;
  fills: number;
}

export interface Drawn {
  readonly holder: string;
  readonly allowance: string;
  /** Where it was drawn: totals of one site are replaced as a whole, never added to those of another. */
  readonly site: string;
  /** Days since 1970-01-01, by that site's own calendar. */
  readonly day: number;
  readonly volume: number;
  readonly fills: number;
}

/**
 * Usage kept in memory: totals a (holder, allowance, site, day), so that hearing the same total twice changes nothing. Periods are those
 * of the asking site's calendar. `add` counts up, `set` replaces; both take whole microlitres.
 */
export class Tally implements Usage {
  cutOff = false;
  private readonly zones: (site: string) => ZoneTable | undefined;
  private readonly days = new Map<string, Map<string, DayUse>>();
  private readonly readings = new Map<string, number>();

  constructor(zones: (site: string) => ZoneTable | undefined) {
    this.zones = zones;
  }

  private at(holder: string, allowance: string, site: string, day: number): DayUse {
    const key = `${holder}\n${allowance}`;
    let map = this.days.get(key);
    if (!map) {
      map = new Map();
      this.days.set(key, map);
    }
    const dayKey = `${site}\n${day}`;
    let use = map.get(dayKey);
    if (!use) {
      use = { day, volume: 0, fills: 0 };
      map.set(dayKey, use);
    }
    return use;
  }

  add(drawn: Drawn): void {
    const use = this.at(drawn.holder, drawn.allowance, drawn.site, drawn.day);
    use.volume += drawn.volume;
    use.fills += drawn.fills;
  }

  set(drawn: Drawn): void {
    const use = this.at(drawn.holder, drawn.allowance, drawn.site, drawn.day);
    use.volume = drawn.volume;
    use.fills = drawn.fills;
  }

  setReading(vehicle: string, kind: 'odometer' | 'hours', reading: number): void {
    this.readings.set(`${kind}\n${vehicle}`, reading);
  }

  lastReading(vehicle: string, kind: 'odometer' | 'hours'): number | undefined {
    return this.readings.get(`${kind}\n${vehicle}`);
  }

  used(holder: string, allowance: string, site: string, at: number): Used | undefined {
    const map = this.days.get(`${holder}\n${allowance}`);
    const zone = this.zones(site);
    if (!map || !zone) return undefined;
    const { day } = localMoment(zone, at);
    const week = weekStart(day);
    const month = monthStart(day);
    const used = { day: 0, week: 0, month: 0, fillsToday: 0 };
    for (const use of map.values()) {
      if (use.day === day) {
        used.day += use.volume;
        used.fillsToday += use.fills;
      }
      // A site further east may be a day ahead: what it let through counts in the week and month that it fell in.
      if (weekStart(use.day) === week) used.week += use.volume;
      if (monthStart(use.day) === month) used.month += use.volume;
    }
    return used;
  }

  /** Forgets days before `day`; a month and a week back are all that is ever asked for. */
  forgetBefore(day: number): void {
    for (const map of this.days.values()) for (const [key, use] of map) if (use.day < day) map.delete(key);
  }
}
