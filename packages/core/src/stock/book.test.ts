import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { volumeOf } from '../units/index.ts';
import { bookDays, reconcile } from './book.ts';

const DAY = 86_400_000;
const gal = (n: number) => volumeOf(Math.round(n * 1000), 'gal');
const dayOf = (at: number) => Math.floor(at / DAY);

// Our own month of five days, worked by hand (no worked example of the EPA's booklet could be opened).
const FIVE = [
  [5120, 0, 612.4, 4512, 4.4, 4.4],
  [4512, 0, 598.1, 3908, -5.9, -1.5],
  [3908, 4000, 640, 7259, -9, -10.5],
  [7259, 0, 655.7, 6611, 7.7, -2.8],
  [6611, 0, 580.2, 6024, -6.8, -9.6],
] as const;

describe('book against measurement', () => {
  const moves = FIVE.flatMap(([, delivered, drawn], i) => [
    { at: (i + 1) * DAY + 1, kind: 'fill' as const, volume: -gal(drawn) },
    ...(delivered > 0 ? [{ at: (i + 1) * DAY + 2, kind: 'delivery' as const, volume: gal(delivered) }] : []),
  ]);
  const measured = [
    { at: DAY - 1, volume: gal(5120) },
    ...FIVE.map(([, , , close], i) => ({ at: (i + 2) * DAY - 1, volume: gal(close) })),
  ];
  it('five days by hand', () => {
    const days = bookDays(moves, measured, dayOf);
    expect(days).toHaveLength(5);
    for (const [i, [open, , drawn, , over, cumulative]] of FIVE.entries()) {
      expect(days[i]?.opening).toBe(gal(open));
      expect(days[i]?.drawn).toBe(gal(drawn));
      // Each figure was rounded once, to a microlitre.
      expect(Math.abs((days[i]?.over ?? 0) - gal(over))).toBeLessThanOrEqual(3);
      expect(Math.abs((days[i]?.cumulative ?? 0) - gal(cumulative))).toBeLessThanOrEqual(10);
    }
    const month = reconcile(days);
    expect(Math.abs(month.threshold - gal(160.864))).toBeLessThanOrEqual(3);
    expect(month.within).toBe(true);
  });
  it.each([
    [0, 130],
    [6500, 195],
    [25_000, 380],
    [60_000, 730],
  ])('1.0 %% of %d gal and 130 gal is %d gal (40 CFR 280.43(a))', (drawn, threshold) => {
    const days = bookDays(
      [{ at: DAY + 1, kind: 'fill', volume: -gal(drawn) }],
      [
        { at: DAY, volume: gal(70_000) },
        { at: 2 * DAY, volume: gal(70_000 - drawn) },
      ],
      dayOf,
    );
    expect(Math.abs(reconcile(days).threshold - gal(threshold))).toBeLessThanOrEqual(1);
  });
  it('loses nothing: what was over adds up to the last measurement, whichever days were measured', () => {
    const move = fc.record({
      at: fc.integer({ min: 0, max: 40 * DAY }),
      kind: fc.constantFrom('fill' as const, 'delivery' as const, 'correction' as const),
      volume: fc.integer({ min: -1e12, max: 1e12 }),
    });
    const dip = fc.record({ at: fc.integer({ min: 0, max: 40 * DAY }), volume: fc.integer({ min: 0, max: 1e12 }) });
    const byTime = <T extends { at: number }>(list: T[]) => list.sort((a, b) => a.at - b.at);
    fc.assert(
      fc.property(fc.array(move), fc.array(dip, { minLength: 2 }), (moves, dips) => {
        const days = bookDays(byTime(moves), byTime(dips), dayOf);
        for (const d of days) expect(d.opening + d.delivered - d.drawn + d.corrected + d.over).toBe(d.measured);
        const [first, last] = [days[0], days.at(-1)];
        if (!first || !last) return;
        const between = moves.filter((m) => m.at > first.from && m.at <= last.to).reduce((sum, m) => sum + m.volume, 0);
        expect(first.opening + between + last.cumulative).toBe(last.measured);
      }),
    );
  });
});
