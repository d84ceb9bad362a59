import { instantAt, localMoment, monthStart, weekdayOf, weekStart, zoneTable } from '@fillwright/core/units';
import { DateTime } from 'luxon';
import { describe, expect, it } from 'vitest';
import { seeded } from '../../test/small-world.ts';
import { DayBook, weekdayCounts } from './days.ts';

/** The calendar that reach stands on, against luxon: another's arithmetic on the system's own zone data. */
const ZONES = [
  'America/New_York',
  'America/Chicago',
  'America/Los_Angeles',
  'America/St_Johns',
  'America/Phoenix',
  'Asia/Kathmandu',
  'Europe/London',
  'Europe/Berlin',
  'Australia/Lord_Howe',
  'Australia/Sydney',
  'Pacific/Chatham',
  'Africa/Casablanca',
];
const DAY_MS = 86_400_000;
const dayOf = (d: DateTime) => Math.round(Date.UTC(d.year, d.month - 1, d.day) / DAY_MS);

describe('days, weeks and clocks', () => {
  it('are those of luxon in real zones, on either side of every change of clock of 2026', () => {
    let changes = 0;
    for (const zone of ZONES) {
      const table = zoneTable(zone, 2025, 2027);
      const offset = (at: number) => DateTime.fromMillis(at, { zone }).offset;
      const jumps: number[] = [];
      let was = offset(Date.UTC(2026, 0, 1));
      for (let day = Date.UTC(2026, 0, 1); day < Date.UTC(2027, 0, 1); day += DAY_MS) {
        let [low, high] = [day, day + DAY_MS];
        const next = offset(high);
        const same = next === was;
        was = next;
        if (same) continue;
        while (high - low > 60_000) {
          const middle = Math.floor((low + high) / 120_000) * 60_000;
          if (offset(middle) === offset(low)) low = middle;
          else high = middle;
        }
        jumps.push(high);
      }
      changes += jumps.length;
      for (const jump of [...jumps, Date.UTC(2026, 5, 30, 12)]) {
        for (let minutes = -70; minutes <= 70; minutes += minutes === -1 || minutes === 0 ? 1 : 3) {
          const at = jump + minutes * 60_000;
          const wall = DateTime.fromMillis(at, { zone });
          const { day, minute } = localMoment(table, at);
          const told = `${zone} ${at}`;
          expect([day, minute], told).toEqual([dayOf(wall), wall.hour * 60 + wall.minute]);
          expect(weekdayOf(day), told).toBe(wall.weekday - 1);
        }
        // Which minutes of those days a clock shows at all: luxon moves one that is skipped to another.
        const first = dayOf(DateTime.fromMillis(jump, { zone }));
        for (let minute = 0; minute < 1440; minute += 30) {
          const date = new Date(first * DAY_MS);
          const wall = DateTime.fromObject(
            {
              ...{ year: date.getUTCFullYear(), month: date.getUTCMonth() + 1, day: date.getUTCDate() },
              ...{ hour: Math.floor(minute / 60), minute: minute % 60 },
            },
            { zone },
          );
          const shown = wall.hour * 60 + wall.minute === minute && dayOf(wall) === first;
          expect(instantAt(table, first, minute) !== undefined, `${zone} ${jump} ${minute}`).toBe(shown);
        }
      }
    }
    expect(changes).toBe(20);
  });

  it('begin weeks and months where luxon does, and count weekdays as it does', () => {
    const random = seeded(3);
    const book = new DayBook();
    for (let n = 0; n < 100; n++) {
      const from = Math.floor(random() * 20_000) + 15_000;
      const until = from + Math.floor(random() * 40);
      const start = DateTime.fromMillis(from * DAY_MS, { zone: 'UTC' });
      expect(weekStart(from)).toBe(dayOf(start.startOf('week')));
      expect(monthStart(from)).toBe(dayOf(start.startOf('month')));
      const counts = [0, 0, 0, 0, 0, 0, 0];
      for (let d = start; d <= start.plus({ days: until - from }); d = d.plus({ days: 1 }))
        counts[d.weekday - 1] = (counts[d.weekday - 1] as number) + 1;
      expect(weekdayCounts([from, until])).toEqual(counts);
      expect(book.weekdayCounts(book.keep([from, until]))).toEqual(counts);
    }
  });
});
