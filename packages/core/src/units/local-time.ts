/**
 * Local time without a time library on the hot path: a zone is handed in as its list of offset changes, made once at the edge
 * (Temporal or Intl) and checked against Temporal in tests. Instants are whole milliseconds UTC; local values are plain numbers.
 */

/** The offsets of one IANA zone over a span of years: from `at[i]` (ms UTC, ascending; at[0] = -Infinity) holds `offsetMin[i]`. */
export interface ZoneTable {
  readonly zone: string;
  readonly at: readonly number[];
  /** Minutes that local time is ahead of UTC. */
  readonly offsetMin: readonly number[];
}

/** A moment as a site's wall shows it. */
export interface LocalMoment {
  /** Days since 1970-01-01 in local time. */
  readonly day: number;
  /** 0 = Monday ... 6 = Sunday. */
  readonly weekday: number;
  /** Minutes since local midnight by the wall, 0..1439. */
  readonly minute: number;
}

const DAY_MS = 86_400_000;

export function offsetMinutesAt(table: ZoneTable, instantMs: number): number {
  let low = 0;
  let high = table.at.length - 1;
  while (low < high) {
    const mid = (low + high + 1) >> 1;
    if ((table.at[mid] as number) <= instantMs) low = mid;
    else high = mid - 1;
  }
  return table.offsetMin[low] ?? 0;
}

export function localMoment(table: ZoneTable, instantMs: number): LocalMoment {
  const local = instantMs + offsetMinutesAt(table, instantMs) * 60_000;
  const day = Math.floor(local / DAY_MS);
  return { day, weekday: weekdayOf(day), minute: Math.floor((local - day * DAY_MS) / 60_000) };
}

/**
 * The instants (ms UTC, ascending) at which the wall shows this day and minute (0..1439): one as a rule, two where clocks go back, none
 * where they go forward.
 */
export function instantsAt(table: ZoneTable, day: number, minute: number): number[] {
  const wall = day * DAY_MS + minute * 60_000;
  // No offset is as large as a day, so the ones that may hold are those of a day before and a day after.
  const offsets = new Set([offsetMinutesAt(table, wall - DAY_MS), offsetMinutesAt(table, wall + DAY_MS)]);
  const instants = [...offsets].map((offset) => wall - offset * 60_000);
  return instants.filter((at) => at + offsetMinutesAt(table, at) * 60_000 === wall).sort((a, b) => a - b);
}

/** The first of them; undefined where the clock skips it. */
export const instantAt = (table: ZoneTable, day: number, minute: number): number | undefined =>
  instantsAt(table, day, minute)[0];

/** 0 = Monday ... 6 = Sunday; 1970-01-01 was a Thursday. */
export const weekdayOf = (day: number): number => (((day + 3) % 7) + 7) % 7;

/** The Monday on or before `day`. */
export const weekStart = (day: number): number => day - weekdayOf(day);

/** Days since 1970-01-01 of a proleptic Gregorian date (Howard Hinnant's published civil-day algorithm, restated). */
export function dayOfDate(year: number, month: number, dayOfMonth: number): number {
  const y = month <= 2 ? year - 1 : year;
  const era = Math.floor(y / 400);
  const yearOfEra = y - era * 400;
  const dayOfYear = Math.floor((153 * (month + (month > 2 ? -3 : 9)) + 2) / 5) + dayOfMonth - 1;
  const dayOfEra = yearOfEra * 365 + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100) + dayOfYear;
  return era * 146_097 + dayOfEra - 719_468;
}

export function dateOfDay(day: number): { year: number; month: number; day: number } {
  const z = day + 719_468;
  const era = Math.floor(z / 146_097);
  const doe = z - era * 146_097;
  const yoe = Math.floor((doe - Math.floor(doe / 1460) + Math.floor(doe / 36_524) - Math.floor(doe / 146_096)) / 365);
  const doy = doe - (365 * yoe + Math.floor(yoe / 4) - Math.floor(yoe / 100));
  const mp = Math.floor((5 * doy + 2) / 153);
  const month = mp < 10 ? mp + 3 : mp - 9;
  return { year: yoe + era * 400 + (month <= 2 ? 1 : 0), month, day: doy - Math.floor((153 * mp + 2) / 5) + 1 };
}

/** The first day of the month that holds `day`. */
export function monthStart(day: number): number {
  const d = dateOfDay(day);
  return dayOfDate(d.year, d.month, 1);
}

/** 'YYYY-MM-DD' to days since 1970-01-01; undefined when there is no such date. */
export function parseDate(text: string): number | undefined {
  const m = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text);
  if (!m) return undefined;
  const [year, month, date] = [Number(m[1]), Number(m[2]), Number(m[3])];
  const day = dayOfDate(year, month, date);
  const back = dateOfDay(day);
  return back.year === year && back.month === month && back.day === date ? day : undefined;
}

export function formatDate(day: number): string {
  const d = dateOfDay(day);
  return `${String(d.year).padStart(4, '0')}-${String(d.month).padStart(2, '0')}-${String(d.day).padStart(2, '0')}`;
}

/** 'HH:MM' (24:00 allowed as the end of a day) to minutes; undefined otherwise. */
export function parseMinute(text: string): number | undefined {
  const m = /^(\d{1,2}):(\d{2})$/.exec(text.trim());
  if (!m) return undefined;
  const minute = Number(m[1]) * 60 + Number(m[2]);
  return Number(m[2]) < 60 && minute <= 1440 ? minute : undefined;
}

export const formatMinute = (minute: number): string =>
  `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`;
