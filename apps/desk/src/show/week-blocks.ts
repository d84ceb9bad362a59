import { type Days, type RoomStretch, timesWords } from '@fillwright/core/reach';
import { weekdayOf } from '@fillwright/core/units';

const DAY = 1440;

/** One row's part of a stretch: minutes [from, to) of a day of the week, 0 is Monday. */
export interface Block {
  readonly day: number;
  readonly from: number;
  readonly to: number;
}

/** A stretch cut at midnights. */
export function blocksOf({ from, to }: { readonly from: number; readonly to: number }): Block[] {
  const blocks: Block[] = [];
  for (let at = from; at < to; ) {
    const day = Math.floor(at / DAY);
    const end = Math.min(to, (day + 1) * DAY);
    blocks.push({ day, from: at - day * DAY, to: end - day * DAY });
    at = end;
  }
  return blocks;
}

/** Stretches that say the same, as the single one that a person reads: 'Monday to Friday 06:00 to 18:00' is five of them. */
export interface Shade {
  readonly room: number;
  readonly by: string;
  readonly blocks: readonly Block[];
}

export function shadesOf(stretches: readonly RoomStretch[]): Shade[] {
  const shades = new Map<string, { room: number; by: string; blocks: Block[] }>();
  for (const s of stretches) {
    const key = `${s.room} ${s.by}`;
    const had = shades.get(key);
    if (had) had.blocks.push(...blocksOf(s));
    else shades.set(key, { room: s.room, by: s.by, blocks: blocksOf(s) });
  }
  return [...shades.values()];
}

export const dayName = (day: number): string => weekdayNames[day] ?? '';
const weekdayNames = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'];

/** 'Mon to Fri 06:00 to 18:00; Sat 08:00 to 12:00', 'the whole week'. */
export const timesOf = (blocks: readonly Block[]): string =>
  timesWords(blocks.map(({ day, from, to }) => ({ from: day * DAY + from, to: day * DAY + to })));

/** How dark a limit is drawn, 1 to 4, by its part of the highest one shown beside it. */
export const tierOf = (room: number, top: number): number => Math.min(4, Math.max(1, Math.ceil((room / top) * 4)));

/** The first day, of those given, on which one of the blocks lies, with its first minute there. */
export function firstMoment(blocks: readonly Block[], days: Days): { day: number; minute: number } | undefined {
  let best: { day: number; minute: number } | undefined;
  for (const b of blocks) {
    for (let i = 0; i < days.length; i += 2) {
      const from = days[i] as number;
      const day = from + ((b.day - weekdayOf(from) + 7) % 7);
      if (day > (days[i + 1] as number)) continue;
      if (!best || day < best.day || (day === best.day && b.from < best.minute)) best = { day, minute: b.from };
      break;
    }
  }
  return best;
}
