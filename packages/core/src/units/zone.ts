import type { ZoneTable } from './local-time.ts';

/**
 * Builds a zone's offset table with Intl, which every supported runtime ships: offsets are probed a week apart and each change is
 * found by bisection to the minute. Domain: years 1970 to 2100; changes closer than a week to each other may be missed before 1990.
 * @throws RangeError when the runtime does not know the zone.
 */
export function zoneTable(zone: string, fromYear = 2015, toYear = 2045): ZoneTable {
  const key = `${zone} ${fromYear} ${toYear}`;
  const made = tables.get(key) ?? makeTable(zone, fromYear, toYear);
  tables.set(key, made);
  return made;
}

/** A table takes milliseconds to make and never changes. */
const tables = new Map<string, ZoneTable>();

function makeTable(zone: string, fromYear: number, toYear: number): ZoneTable {
  const format = new Intl.DateTimeFormat('en-US', {
    timeZone: zone,
    hourCycle: 'h23',
    year: 'numeric',
    month: 'numeric',
    day: 'numeric',
    hour: 'numeric',
    minute: 'numeric',
  });
  const offsetAt = (ms: number): number => {
    const part: Record<string, number> = {};
    for (const p of format.formatToParts(ms)) part[p.type] = Number(p.value);
    const wall = Date.UTC(part.year ?? 0, (part.month ?? 1) - 1, part.day ?? 1, part.hour ?? 0, part.minute ?? 0);
    return Math.round((wall - Math.floor(ms / 60_000) * 60_000) / 60_000);
  };
  const week = 7 * 86_400_000;
  const start = Date.UTC(fromYear, 0, 1);
  const at: number[] = [Number.NEGATIVE_INFINITY];
  let offset = offsetAt(start);
  const offsetMin: number[] = [offset];
  for (let ms = start; ms < Date.UTC(toYear, 0, 1); ms += week) {
    const next = offsetAt(ms + week);
    if (next === offset) continue;
    let low = ms / 60_000;
    let high = (ms + week) / 60_000;
    while (high - low > 1) {
      const mid = Math.floor((low + high) / 2);
      if (offsetAt(mid * 60_000) === offset) low = mid;
      else high = mid;
    }
    at.push(high * 60_000);
    offsetMin.push(next);
    offset = next;
  }
  return { zone, at, offsetMin };
}
