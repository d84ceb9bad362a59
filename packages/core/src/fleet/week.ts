import type { Window } from './fields.ts';

/** Minutes in a week; 0 is Monday 00:00 by the wall. */
export const WEEK_MINUTES = 10_080;

/** A half-open stretch [from, to) of minutes of the week. */
export interface Stretch {
  readonly from: number;
  readonly to: number;
}

/** Weekly times as disjoint ascending stretches; null (always) is the whole week. Neighbours are joined; the week's end does not wrap. */
export function stretchesOf(times: readonly Window[] | null): Stretch[] {
  if (times === null) return [{ from: 0, to: WEEK_MINUTES }];
  const parts: Stretch[] = [];
  for (const w of times) {
    const length = w.to > w.from ? w.to - w.from : w.to - w.from + 1440;
    for (const day of w.days) {
      const from = day * 1440 + w.from;
      const to = from + length;
      if (to <= WEEK_MINUTES) parts.push({ from, to });
      else parts.push({ from, to: WEEK_MINUTES }, { from: 0, to: to - WEEK_MINUTES });
    }
  }
  parts.sort((a, b) => a.from - b.from);
  const joined: { from: number; to: number }[] = [];
  for (const p of parts) {
    const last = joined.at(-1);
    if (last && p.from <= last.to) last.to = Math.max(last.to, p.to);
    else joined.push({ ...p });
  }
  return joined;
}

/** Whether a minute of the week lies in the stretches (ascending, disjoint). */
export function within(stretches: readonly Stretch[], minuteOfWeek: number): boolean {
  for (const s of stretches) {
    if (minuteOfWeek < s.from) return false;
    if (minuteOfWeek < s.to) return true;
  }
  return false;
}
