import { Temporal } from 'temporal-polyfill';
import { describe, expect, it } from 'vitest';
import { seeded } from '../../test/small-world.ts';
import { zoneTable } from '../units/index.ts';
import { type Drawn, Tally } from './tally.ts';

const ZONES: Readonly<Record<string, string>> = { east: 'Australia/Lord_Howe', west: 'America/New_York' };
const tables = Object.fromEntries(Object.entries(ZONES).map(([site, zone]) => [site, zoneTable(zone, 2025, 2027)]));
const dateOf = (day: number) => Temporal.PlainDate.from('1970-01-01').add({ days: day });
const mondayOf = (date: Temporal.PlainDate) => date.subtract({ days: date.dayOfWeek - 1 }).toString();

describe('a tally', () => {
  it('says what a list of all that was drawn says, by the calendar of the site that asks', () => {
    const seen = { nothing: 0, day: 0, week: 0, month: 0 };
    for (let seed = 1; seed <= 25; seed++) {
      const random = seeded(seed);
      const pick = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)] as T;
      // Names that would run together if nothing stood between them.
      const holders = ['driver:1', 'driver:11'];
      const allowances = ['1', '11', '111'];
      const sites = ['east', 'west', 'west1', 'nowhere'];
      const tally = new Tally((site) => tables[site]);
      let list: Drawn[] = [];
      const known = new Set<string>();
      const first = Date.parse('2026-02-25') / 86_400_000;
      for (let n = 0; n < 40; n++) {
        const site = pick(sites);
        const day = first + Math.floor(random() * 40);
        const drawn = { holder: pick(holders), allowance: pick(allowances), site, day, volume: n * 1000, fills: n % 3 };
        if (random() < 0.7) tally.add(drawn);
        else {
          tally.set(drawn);
          list = list.filter((d) => JSON.stringify({ ...d, ...COUNTS }) !== JSON.stringify({ ...drawn, ...COUNTS }));
        }
        list.push(drawn);
        known.add(`${drawn.holder} ${drawn.allowance}`);
        if (n % 20 === 19) {
          const from = first + 10;
          tally.forgetBefore(from);
          list = list.filter((d) => d.day >= from);
        }
        const at = (first + random() * 45) * 86_400_000;
        for (let ask = 0; ask < 4; ask++) {
          const [holder, allowance, asks] = [pick(holders), pick(allowances), pick(sites)];
          const zone = ZONES[asks];
          const got = tally.used(holder, allowance, asks, at);
          if (!zone || !known.has(`${holder} ${allowance}`)) {
            expect(got).toBeUndefined();
            seen.nothing++;
            continue;
          }
          const today = Temporal.Instant.fromEpochMilliseconds(Math.floor(at)).toZonedDateTimeISO(zone).toPlainDate();
          const own = list.filter((d) => d.holder === holder && d.allowance === allowance);
          const sum = (of: readonly Drawn[]) => of.reduce((total, d) => total + d.volume, 0);
          const on = own.filter((d) => dateOf(d.day).equals(today));
          const want = {
            day: sum(on),
            week: sum(own.filter((d) => mondayOf(dateOf(d.day)) === mondayOf(today))),
            month: sum(own.filter((d) => dateOf(d.day).toPlainYearMonth().equals(today.toPlainYearMonth()))),
            fillsToday: on.reduce((total, d) => total + d.fills, 0),
          };
          expect(got).toEqual(want);
          for (const span of ['day', 'week', 'month'] as const) if (want[span] > 0) seen[span]++;
        }
      }
    }
    for (const [what, times] of Object.entries(seen)) expect(times, what).toBeGreaterThan(20);
  });

  it('keeps the last reading of each kind of each vehicle, and is connected to begin with', () => {
    const tally = new Tally(() => undefined);
    expect(tally.cutOff).toBe(false);
    expect(tally.lastReading('v1', 'hours')).toBeUndefined();
    tally.setReading('v1', 'hours', 7);
    tally.setReading('v1', 'odometer', 120);
    tally.setReading('v2', 'hours', 9);
    tally.setReading('v1', 'hours', 8);
    expect(tally.lastReading('v1', 'hours')).toBe(8);
    expect(tally.lastReading('v1', 'odometer')).toBe(120);
    expect(tally.lastReading('v2', 'hours')).toBe(9);
    expect(tally.lastReading('v2', 'odometer')).toBeUndefined();
  });
});

const COUNTS = { volume: 0, fills: 0 };
