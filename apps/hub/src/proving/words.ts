import { formatDate, formatMinute, localMoment, type ZoneTable } from '@fillwright/core/units';

/** A moment by the clock on the site's wall, with the zone named. */
export function momentWords(zone: ZoneTable, at: number): string {
  const { day, minute } = localMoment(zone, at);
  return `${formatDate(day)} ${formatMinute(minute)} (${zone.zone})`;
}
