import { dayOfDate } from '@fillwright/core/units';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { blocksOf, firstMoment, shadesOf, tierOf, timesOf } from './week-blocks.ts';

const WEEK = 10_080;

describe('the geometry of a week map', () => {
  it('cuts a stretch at midnights and loses no minute', () => {
    expect(blocksOf({ from: 22 * 60, to: 1440 + 300 })).toEqual([
      { day: 0, from: 1320, to: 1440 },
      { day: 1, from: 0, to: 300 },
    ]);
    fc.assert(
      fc.property(fc.nat(WEEK), fc.nat(WEEK), (a, b) => {
        const [from, to] = [Math.min(a, b), Math.max(a, b)];
        const blocks = blocksOf({ from, to });
        expect(blocks.reduce((n, k) => n + k.to - k.from, 0)).toBe(to - from);
        for (const k of blocks) {
          expect(k.from).toBeLessThan(k.to);
          expect(k.day * 1440 + k.from).toBeGreaterThanOrEqual(from);
          expect(k.day * 1440 + k.to).toBeLessThanOrEqual(to);
          expect(k.to).toBeLessThanOrEqual(1440);
        }
      }),
    );
  });
  it('joins stretches of the same limit and rule, and those only', () => {
    const day = (n: number, room: number, by = 'a') => ({ from: n * 1440, to: n * 1440 + 60, room, by });
    const shades = shadesOf([day(0, 5), day(1, 0), day(2, 5), day(3, 5, 'b')]);
    expect(shades.map((s) => [s.room, s.by, s.blocks.map((b) => b.day)])).toEqual([
      [5, 'a', [0, 2]],
      [0, 'a', [1]],
      [5, 'b', [3]],
    ]);
  });
  it('darkens by quarters of the highest limit', () => {
    expect([1, 25, 26, 50, 75, 76, 100].map((room) => tierOf(room, 100))).toEqual([1, 1, 2, 2, 3, 4, 4]);
  });
});

describe('times in words', () => {
  const words = (...parts: [number, number][]) => timesOf(parts.flatMap(([from, to]) => blocksOf({ from, to })));
  it('puts days with the same hours together', () => {
    const workdays = [0, 1, 2, 3, 4].map((d): [number, number] => [d * 1440 + 360, d * 1440 + 1080]);
    expect(words(...workdays)).toBe('Mon to Fri 06:00 to 18:00');
    expect(words(...workdays, [5 * 1440 + 480, 5 * 1440 + 720])).toBe('Mon to Fri 06:00 to 18:00; Sat 08:00 to 12:00');
    expect(words([0, 60], [1440, 1500], [120, 180])).toBe('Mon 00:00 to 01:00 and 02:00 to 03:00; Tue 00:00 to 01:00');
    expect(words([0, 1440], [1440, 2880])).toBe('Mon and Tue all day');
    expect(words([0, WEEK])).toBe('the whole week');
  });
});

describe('the first moment of a shade', () => {
  // 2026-11-25 is a Wednesday.
  const wednesday = dayOfDate(2026, 11, 25);
  const monday = blocksOf({ from: 360, to: 420 });
  it('is the first fitting weekday among the days', () => {
    expect(firstMoment(monday, [wednesday, wednesday + 30])).toEqual({ day: wednesday + 5, minute: 360 });
    expect(firstMoment(monday, [wednesday, wednesday + 2, wednesday + 6, wednesday + 40])).toEqual({
      day: wednesday + 12,
      minute: 360,
    });
  });
  it('is none where no such weekday is among them', () => {
    expect(firstMoment(monday, [wednesday, wednesday + 3])).toBeUndefined();
    expect(firstMoment(monday, [])).toBeUndefined();
  });
});
