import { parseWindow, stretchesOf, WEEK_MINUTES, type Window } from '@fillwright/core/fleet';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cellsOf, inBlock, paint, windowsOf } from './week-grid.ts';

const times = (...texts: string[]): Window[] => texts.map((t) => parseWindow(t) as Window);

const window: fc.Arbitrary<Window> = fc.record({
  days: fc.uniqueArray(fc.integer({ min: 0, max: 6 }), { maxLength: 7 }),
  from: fc.integer({ min: 0, max: 1439 }),
  to: fc.integer({ min: 0, max: 1440 }),
});
const block = fc.record({
  day: fc.integer({ min: 0, max: 6 }),
  toDay: fc.integer({ min: 0, max: 6 }),
  hour: fc.integer({ min: 0, max: 23 }),
  toHour: fc.integer({ min: 0, max: 23 }),
});

describe('weekly times on a grid of days and hours', () => {
  it('keeps days with the same hours together, and a night in one piece', () => {
    expect(windowsOf(stretchesOf(times('Mon-Fri 06:00-18:00')))).toEqual(times('Mon-Fri 06:00-18:00'));
    expect(windowsOf(stretchesOf(times('Mon-Fri 22:00-05:00')))).toEqual(times('Mon-Fri 22:00-05:00'));
    expect(windowsOf(stretchesOf(times('Sun 22:00-05:00')))).toEqual(times('Sun 22:00-05:00'));
    expect(windowsOf(stretchesOf(times('Sat-Sun 00:00-24:00')))).toEqual(times('Sat-Sun 00:00-24:00'));
  });

  it('is the same times after stretches and back', () => {
    fc.assert(
      fc.property(fc.array(window, { maxLength: 6 }), (some) => {
        const before = stretchesOf(some);
        expect(stretchesOf(windowsOf(before))).toEqual(before);
      }),
    );
  });

  it('shows an hour that is covered in part as such', () => {
    const cells = cellsOf(times('Tue 06:30-08:00'));
    expect(cells[1]?.slice(5, 9)).toEqual(['out', 'part', 'in', 'out']);
    expect(cells[0]?.every((c) => c === 'out')).toBe(true);
  });

  it('paints exactly the block, in and out', () => {
    fc.assert(
      fc.property(fc.array(window, { maxLength: 4 }), block, fc.boolean(), (some, b, put) => {
        const before = cellsOf(some);
        const after = cellsOf(paint(some, b, put));
        for (let day = 0; day < 7; day++)
          for (let hour = 0; hour < 24; hour++)
            expect(after[day]?.[hour]).toBe(inBlock(b, day, hour) ? (put ? 'in' : 'out') : before[day]?.[hour]);
      }),
    );
  });

  it('calls the whole week always and nothing never', () => {
    const all = { day: 0, toDay: 6, hour: 0, toHour: 23 };
    expect(paint(times('Mon 06:00-07:00'), all, true)).toBeNull();
    expect(paint(null, all, false)).toEqual([]);
    expect(stretchesOf(paint(null, { day: 6, toDay: 6, hour: 23, toHour: 23 }, false)).at(-1)?.to).toBe(
      WEEK_MINUTES - 60,
    );
  });
});
