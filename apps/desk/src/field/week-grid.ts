import { type Stretch, stretchesOf, WEEK_MINUTES, type Window } from '@fillwright/core/fleet';

const DAY = 1440;

/** How much of an hour is in the times: none, some or all of it. */
export type Cell = 'out' | 'part' | 'in';

/** Seven days of 24 hours; `cells[day][hour]`. */
export function cellsOf(times: readonly Window[] | null): Cell[][] {
  const stretches = stretchesOf(times);
  return Array.from({ length: 7 }, (_, day) =>
    Array.from({ length: 24 }, (_, hour) => {
      const from = day * DAY + hour * 60;
      let covered = 0;
      for (const s of stretches) covered += Math.max(0, Math.min(s.to, from + 60) - Math.max(s.from, from));
      return covered === 0 ? 'out' : covered === 60 ? 'in' : 'part';
    }),
  );
}

/** A block of hours: days and hours from and to, both ends included, in any order. */
export interface Block {
  readonly day: number;
  readonly hour: number;
  readonly toDay: number;
  readonly toHour: number;
}

export const inBlock = (b: Block, day: number, hour: number): boolean =>
  day >= Math.min(b.day, b.toDay) &&
  day <= Math.max(b.day, b.toDay) &&
  hour >= Math.min(b.hour, b.toHour) &&
  hour <= Math.max(b.hour, b.toHour);

/** The times with a block of whole hours put in or taken out; the whole week becomes null (always), nothing becomes []. */
export function paint(times: readonly Window[] | null, block: Block, put: boolean): Window[] | null {
  const blocks: Stretch[] = [];
  for (let day = Math.min(block.day, block.toDay); day <= Math.max(block.day, block.toDay); day++)
    blocks.push({
      from: day * DAY + Math.min(block.hour, block.toHour) * 60,
      to: day * DAY + (Math.max(block.hour, block.toHour) + 1) * 60,
    });
  const now = stretchesOf(times);
  return windowsOf(put ? joined([...now, ...blocks]) : without(now, blocks));
}

function joined(parts: readonly Stretch[]): Stretch[] {
  const out: { from: number; to: number }[] = [];
  for (const p of [...parts].sort((a, b) => a.from - b.from)) {
    const last = out.at(-1);
    if (last && p.from <= last.to) last.to = Math.max(last.to, p.to);
    else out.push({ ...p });
  }
  return out;
}

function without(from: readonly Stretch[], holes: readonly Stretch[]): Stretch[] {
  let left = [...from];
  for (const hole of holes)
    left = left.flatMap((s) =>
      [
        { from: s.from, to: Math.min(s.to, hole.from) },
        { from: Math.max(s.from, hole.to), to: s.to },
      ].filter((part) => part.to > part.from),
    );
  return left;
}

/**
 * Stretches of the week (ascending, disjoint, not touching) as weekly times: days with the same hours share one, a night that runs past
 * midnight stays in one piece, and so does one from Sunday into Monday. Null for the whole week.
 */
export function windowsOf(stretches: readonly Stretch[]): Window[] | null {
  const whole = stretches[0];
  if (whole && whole.from === 0 && whole.to === WEEK_MINUTES) return null;
  const first = stretches[0];
  const last = stretches.at(-1);
  const wraps = first && last && first !== last && first.from === 0 && last.to === WEEK_MINUTES;
  const parts = wraps ? [...stretches.slice(1, -1), { from: last.from, to: WEEK_MINUTES + first.to }] : stretches;
  const byHours = new Map<string, Window>();
  const add = (day: number, from: number, to: number) => {
    const key = `${from}-${to}`;
    const had = byHours.get(key);
    const days = [...(had?.days ?? []), day % 7].sort((a, b) => a - b);
    byHours.set(key, { days, from, to });
  };
  for (const part of parts) {
    for (let from = part.from; from < part.to; ) {
      const day = Math.floor(from / DAY);
      const midnight = (day + 1) * DAY;
      // What ends by noon of the next day, and within a day of its beginning, is one night; anything longer is cut at midnight.
      const after = part.to - midnight;
      const night = after > 0 && after <= DAY / 2 && after <= from - day * DAY;
      const to = night ? part.to : Math.min(part.to, midnight);
      add(day, from - day * DAY, night ? to - midnight : to - day * DAY);
      from = to;
    }
  }
  return [...byHours.values()].sort((a, b) => (a.days[0] ?? 0) - (b.days[0] ?? 0) || a.from - b.from);
}
