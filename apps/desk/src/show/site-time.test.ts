import { describe, expect, it } from 'vitest';
import { dayStart, instantsOf, nextDate, siteMoment, wallOf, zoneKnown } from './site-time.ts';

// Changes of clocks: US Energy Policy Act of 2005, second Sunday of March and first Sunday of November at 02:00 local time.
const chicago = zoneKnown('America/Chicago');
if (!chicago) throw new Error('this runtime does not know America/Chicago');

describe('time at a site', () => {
  it('names the zone with the moment', () => {
    expect(siteMoment(Date.UTC(2026, 10, 25, 12, 12), 'America/Chicago')).toBe('2026-11-25 06:12 CST');
    expect(siteMoment(Date.UTC(2026, 6, 1, 12, 0), 'America/Chicago')).toBe('2026-07-01 07:00 CDT');
  });
  it('shows a zone that nobody knows in UTC and says so', () => {
    expect(siteMoment(Date.UTC(2026, 0, 2, 3, 4), 'Nowhere/Yard')).toBe('2026-01-02 03:04 UTC');
  });
  it('finds one instant, two in the doubled hour, none in the skipped one', () => {
    expect(instantsOf('2026-11-25', '06:12', chicago)).toEqual([Date.UTC(2026, 10, 25, 12, 12)]);
    expect(instantsOf('2026-11-01', '01:30', chicago)).toEqual([
      Date.UTC(2026, 10, 1, 6, 30),
      Date.UTC(2026, 10, 1, 7, 30),
    ]);
    expect(instantsOf('2026-03-08', '02:30', chicago)).toEqual([]);
    expect(instantsOf('2026-02-30', '02:30', chicago)).toBeUndefined();
    expect(instantsOf('2026-02-03', 'noon', chicago)).toBeUndefined();
  });
  it('goes there and back', () => {
    const at = Date.UTC(2026, 4, 5, 23, 59);
    const wall = wallOf(at, 'America/Chicago');
    expect(instantsOf(wall.date, wall.time, chicago)).toEqual([at]);
  });
  it('begins a day at its first minute that exists', () => {
    expect(dayStart('2026-11-25', 'America/Chicago')).toBe(Date.UTC(2026, 10, 25, 6));
    // Havana goes from 00:00 to 01:00 on 2026-03-08 (IANA tz database, rule Cuba 2013 max).
    expect(dayStart('2026-03-08', 'America/Havana')).toBe(Date.UTC(2026, 2, 8, 5));
    expect(nextDate('2026-12-31')).toBe('2027-01-01');
  });
});
