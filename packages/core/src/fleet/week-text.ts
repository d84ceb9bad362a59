import { formatMinute, parseMinute } from '../units/index.ts';
import type { Window } from './fields.ts';

/** Weekly times as text: 'Mon-Fri 06:00-18:00; Sat 08:00-12:00'. */

const DAYS = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'] as const;
const FULL = ['monday', 'tuesday', 'wednesday', 'thursday', 'friday', 'saturday', 'sunday'] as const;
const GROUPS: Readonly<Record<string, readonly number[]>> = {
  daily: [0, 1, 2, 3, 4, 5, 6],
  'every day': [0, 1, 2, 3, 4, 5, 6],
  weekdays: [0, 1, 2, 3, 4],
  weekend: [5, 6],
  'no day': [],
};

/** Days in the order given; a run of two or more days in sequence becomes 'Mon-Fri'. */
export function formatDays(days: readonly number[]): string {
  if (days.length === 0) return 'no day';
  const parts: string[] = [];
  for (let i = 0; i < days.length; ) {
    let end = i;
    while (end + 1 < days.length && days[end + 1] === (days[end] as number) + 1) end++;
    const [first, last] = [DAYS[days[i] as number] ?? '?', DAYS[days[end] as number] ?? '?'];
    parts.push(end === i ? first : `${first}-${last}`);
    i = end + 1;
  }
  return parts.join(',');
}

function dayOf(text: string): number | undefined {
  const word = text.trim().toLowerCase().replace(/\.$/, '');
  if (word.length < 2) return undefined;
  const day = FULL.findIndex((name) => name.startsWith(word));
  return day === -1 ? undefined : day;
}

/** 'Mon-Fri', 'Mon, Wed', 'Fri-Mon' (past Sunday), 'daily', 'weekdays', 'weekend'; names by two or more of their letters. */
export function parseDays(text: string): number[] | undefined {
  const group = GROUPS[text.trim().toLowerCase()];
  if (group) return [...group];
  const days: number[] = [];
  for (const part of text.split(',')) {
    const [first, last, ...rest] = part.split(/[-–]/);
    const from = dayOf(first ?? '');
    const to = last === undefined ? from : dayOf(last);
    if (from === undefined || to === undefined || rest.length > 0) return undefined;
    for (let day = from; ; day = (day + 1) % 7) {
      days.push(day);
      if (day === to) break;
    }
  }
  return days;
}

export const formatWindow = (w: Window): string =>
  `${formatDays(w.days)} ${formatMinute(w.from)}-${formatMinute(w.to)}`;

/** One weekly time; without hours it is the whole day, without days it is every day. */
export function parseWindow(text: string): Window | undefined {
  const read = /^\s*(.*?)\s*(?:(\d{1,2}:\d{2})\s*[-–]\s*(\d{1,2}:\d{2}))?\s*$/.exec(text);
  const [, dayText = '', fromText = '00:00', toText = '24:00'] = read ?? [];
  if (!read || (dayText === '' && read[2] === undefined)) return undefined;
  const days = parseDays(dayText === '' ? 'daily' : dayText);
  const from = parseMinute(fromText);
  const to = parseMinute(toText);
  return days === undefined || from === undefined || to === undefined || from === 1440 ? undefined : { days, from, to };
}
