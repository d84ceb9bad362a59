import { datesWords, timesWords } from '@fillwright/core/reach';
import { parseDate } from '@fillwright/core/units';
import { describe, expect, it } from 'vitest';

const DAY = 1440;
/** From and to an hour of a day: 0 is Monday. */
const on = (day: number, from: number, to: number) => ({ from: day * DAY + from * 60, to: day * DAY + to * 60 });

describe('times of a week in words', () => {
  it('are days with the same hours together', () => {
    const week = [0, 1, 2, 3, 4].map((d) => on(d, 6, 18));
    expect(timesWords(week)).toBe('Mon to Fri 06:00 to 18:00');
    expect(timesWords([...week, on(5, 8, 12)])).toBe('Mon to Fri 06:00 to 18:00; Sat 08:00 to 12:00');
    expect(timesWords([on(0, 6, 18), on(1, 6, 18)])).toBe('Mon and Tue 06:00 to 18:00');
    expect(timesWords([on(5, 6, 18), on(6, 6, 18)])).toBe('Sat and Sun 06:00 to 18:00');
    expect(timesWords([on(0, 6, 18), on(2, 6, 18)])).toBe('Mon 06:00 to 18:00; Wed 06:00 to 18:00');
    expect(timesWords([on(2, 6, 8), on(2, 10, 12)])).toBe('Wed 06:00 to 08:00 and 10:00 to 12:00');
  });

  it('are cut at midnights', () => {
    expect(timesWords([on(4, 22, 29)])).toBe('Fri 22:00 to 24:00; Sat 00:00 to 05:00');
    expect(timesWords([on(0, 22, 53)])).toBe('Mon 22:00 to 24:00; Tue all day; Wed 00:00 to 05:00');
    expect(timesWords([on(6, 0, 24)])).toBe('Sun all day');
    // A day that is all there in two parts, with the stretch from midnight to midnight told once.
    expect(timesWords([on(3, 0, 12), on(3, 12, 24)])).toBe('Thu all day');
    expect(timesWords([on(3, 0, 12), on(3, 13, 24)])).toBe('Thu 00:00 to 12:00 and 13:00 to 24:00');
  });

  it('are the whole week, or never', () => {
    expect(timesWords([on(0, 0, 7 * 24)])).toBe('the whole week');
    expect(timesWords([on(0, 0, 30), on(1, 6, 6 * 24)])).toBe('the whole week');
    expect(timesWords([on(0, 0, 6 * 24)])).toBe('Mon to Sat all day');
    expect(timesWords([])).toBe('never');
  });
});

it('days in words are dates, runs from and to', () => {
  const day = (date: string) => parseDate(date) as number;
  const newYear = [day('2027-01-01'), day('2027-01-03')];
  expect(datesWords([])).toBe('');
  expect(datesWords([day('2026-12-25'), day('2026-12-25')])).toBe('2026-12-25');
  expect(datesWords(newYear)).toBe('2027-01-01 to 2027-01-03');
  expect(datesWords([day('2026-12-25'), day('2026-12-25'), ...newYear])).toBe('2026-12-25, 2027-01-01 to 2027-01-03');
});
