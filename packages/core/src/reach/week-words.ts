import type { Stretch } from '../fleet/index.ts';
import { formatDate, formatMinute } from '../units/index.ts';
import type { Days } from './days.ts';

const NAMES = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'] as const;
const DAY = 1440;

/** 'Mon to Fri 06:00 to 18:00; Sat 08:00 to 12:00', 'the whole week': stretches cut at midnights, days with the same hours together. */
export function timesWords(stretches: readonly Stretch[]): string {
  const hours = NAMES.map((_, day) => {
    const parts: string[] = [];
    let whole = 0;
    for (const s of stretches) {
      const from = Math.max(s.from, day * DAY) - day * DAY;
      const to = Math.min(s.to, (day + 1) * DAY) - day * DAY;
      if (from >= to) continue;
      whole += to - from;
      parts.push(`${formatMinute(from)} to ${formatMinute(to)}`);
    }
    return whole === DAY ? 'all day' : parts.join(' and ');
  });
  if (hours.every((h) => h === 'all day')) return 'the whole week';
  const parts: string[] = [];
  for (let day = 0; day < NAMES.length; ) {
    let last = day;
    while (hours[last + 1] === hours[day]) last++;
    const span = last === day ? NAMES[day] : `${NAMES[day]} ${last === day + 1 ? 'and' : 'to'} ${NAMES[last]}`;
    if (hours[day] !== '') parts.push(`${span} ${hours[day]}`);
    day = last + 1;
  }
  return parts.length === 0 ? 'never' : parts.join('; ');
}

/** '2026-12-25, 2027-01-01 to 2027-01-03': days as dates, runs as from and to. */
export function datesWords(days: Days): string {
  const parts: string[] = [];
  for (let i = 0; i < days.length; i += 2) {
    const [from, until] = [days[i] as number, days[i + 1] as number];
    parts.push(from === until ? formatDate(from) : `${formatDate(from)} to ${formatDate(until)}`);
  }
  return parts.join(', ');
}
