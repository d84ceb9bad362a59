import {
  amountOf,
  dateOfDay,
  dayOfDate,
  divideRounded,
  formatDate,
  formatDecimal,
  formatMinute,
  formatVolume,
  instantAt,
  instantsAt,
  localMoment,
  milliUnitsOf,
  monthStart,
  parseDate,
  parseDecimal,
  parseMinute,
  parseVolume,
  pulsesWithin,
  volumeOf,
  volumeOfPulses,
  weekdayOf,
  weekStart,
  zoneTable,
} from '@fillwright/core/units';
import fc from 'fast-check';
import { Temporal } from 'temporal-polyfill';
import { describe, expect, it } from 'vitest';

const GALLON = 3_785_411.784; // uL; 231 cubic inches exactly, NIST Handbook 44 (2024), Appendix C

describe('quantities', () => {
  it('a gallon is 231 cubic inches', () => {
    expect(volumeOf(1000, 'gal')).toBe(Math.round(GALLON));
    expect(volumeOf(1_000_000, 'gal')).toBe(3_785_411_784);
    expect(2.54 ** 3 * 231 * 1000).toBeCloseTo(GALLON, 6);
    expect(volumeOf(1000, 'l')).toBe(1_000_000);
  });
  it('pulses become a volume by one rounding, and a limit is never passed by it', () => {
    expect(volumeOfPulses(100, 100_000, 'gal')).toBe(Math.round(GALLON));
    expect(volumeOfPulses(10_000, 100_000, 'gal')).toBe(378_541_178);
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 400_000_000 }),
        fc.integer({ min: 1000, max: 2_000_000 }),
        fc.constantFrom('gal' as const, 'l' as const),
        (limit, k, unit) => {
          const pulses = pulsesWithin(limit, k, unit);
          expect(volumeOfPulses(pulses, k, unit)).toBeLessThanOrEqual(limit);
          expect(volumeOfPulses(pulses + 1, k, unit)).toBeGreaterThan(limit);
        },
      ),
    );
  });
  it('decimal text comes back as it went', () => {
    fc.assert(
      fc.property(fc.integer({ min: -(10 ** 12), max: 10 ** 12 }), fc.integer({ min: 0, max: 6 }), (n, places) => {
        expect(parseDecimal(formatDecimal(n, places), places)).toBe(n);
      }),
    );
    for (const bad of ['', '1e3', '1.2.3', '0x10', '--1', '1,5', 'NaN', '1.0001'])
      expect(parseDecimal(bad, 3)).toBeUndefined();
    expect(parseDecimal('12.50', 3)).toBe(12_500);
  });
  it('volumes are read and shown to the thousandth', () => {
    expect(parseVolume('12.5', 'gal')).toBe(Math.round(12.5 * GALLON));
    expect(formatVolume(volumeOf(12_500, 'gal'), 'gal', 3)).toBe('12.500');
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 10 ** 9 }), (m) => {
        expect(milliUnitsOf(volumeOf(m, 'gal'), 'gal')).toBe(m);
      }),
    );
  });
  it('rounds half away from zero, and exactly', () => {
    expect([divideRounded(5n, 2n), divideRounded(-5n, 2n), divideRounded(4n, 3n), divideRounded(-4n, 3n)]).toEqual([
      3n,
      -3n,
      1n,
      -1n,
    ]);
    expect(() => divideRounded(1n, 0n)).toThrow(RangeError);
    expect(amountOf(volumeOf(10_000, 'gal'), 35_990, 'gal')).toBe(359_900);
  });
});

describe('local time, against Temporal', () => {
  // Zones with half-hour changes, southern summers, odd offsets, none at all, and one that stopped changing.
  const ZONES = [
    'America/New_York',
    'America/Phoenix',
    'America/St_Johns',
    'Europe/London',
    'Africa/Casablanca',
    'Asia/Kathmandu',
    'Asia/Tehran',
    'Australia/Lord_Howe',
    'Pacific/Chatham',
    'Pacific/Apia',
    'America/Sao_Paulo',
    'UTC',
  ];
  it.each(ZONES)('%s', (zone) => {
    const table = zoneTable(zone, 2024, 2030);
    const check = (ms: number) => {
      const t = Temporal.Instant.fromEpochMilliseconds(ms).toZonedDateTimeISO(zone);
      const m = localMoment(table, ms);
      expect([formatDate(m.day), m.minute, m.weekday], `${zone} ${t.toString()}`).toEqual([
        t.toPlainDate().toString(),
        t.hour * 60 + t.minute,
        t.dayOfWeek - 1,
      ]);
    };
    for (const at of table.at)
      if (Number.isFinite(at)) for (const d of [-60_000, -1, 0, 1, 60_000, 3_600_000]) check(at + d);
    let ms = Date.UTC(2025, 0, 1);
    for (let i = 0; i < 400; i++) {
      ms += 7_654_321 * 29;
      if (ms < Date.UTC(2029, 11, 31)) check(ms);
    }
  });
  it.each(ZONES)('%s shows a minute once, twice or never', (zone) => {
    const table = zoneTable(zone, 2024, 2030);
    for (const change of table.at.filter(Number.isFinite)) {
      // Every quarter hour from a day before to a day after, by what the wall shows then.
      const shown = new Map<string, number[]>();
      for (let at = change - 1440 * 60_000; at < change + 1440 * 60_000; at += 900_000) {
        const wall = Temporal.Instant.fromEpochMilliseconds(at).toZonedDateTimeISO(zone).toPlainDateTime().toString();
        shown.set(wall, [...(shown.get(wall) ?? []), at]);
      }
      const middle = localMoment(table, change - 1).day;
      for (let minute = 0; minute < 1440; minute += 15) {
        const wall = `${formatDate(middle)}T${formatMinute(minute)}:00`;
        expect(instantsAt(table, middle, minute), `${zone} ${wall}`).toEqual(shown.get(wall) ?? []);
        expect(instantAt(table, middle, minute)).toBe(shown.get(wall)?.[0]);
      }
    }
  });
  it('days, weeks and months are those of the Gregorian calendar', () => {
    fc.assert(
      fc.property(fc.integer({ min: -100_000, max: 200_000 }), (day) => {
        const d = Temporal.PlainDate.from('1970-01-01').add({ days: day });
        expect(dateOfDay(day)).toEqual({ year: d.year, month: d.month, day: d.day });
        expect(dayOfDate(d.year, d.month, d.day)).toBe(day);
        expect(weekdayOf(day)).toBe(d.dayOfWeek - 1);
        expect(weekdayOf(weekStart(day))).toBe(0);
        expect(dateOfDay(monthStart(day))).toEqual({ year: d.year, month: d.month, day: 1 });
        if (d.year > 0) expect(parseDate(formatDate(day))).toBe(day);
      }),
    );
    for (const bad of ['2026-02-29', '2026-13-01', '26-1-1', '2026-00-10', '2026-04-31'])
      expect(parseDate(bad)).toBeUndefined();
    expect([
      parseMinute('24:00'),
      parseMinute('5:07'),
      parseMinute('24:01'),
      parseMinute('7:60'),
      formatMinute(427),
    ]).toEqual([1440, 307, undefined, undefined, '07:07']);
  });
});
