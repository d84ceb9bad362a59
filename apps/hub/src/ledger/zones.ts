import type { Zones } from '@fillwright/core/decide';
import { type ZoneTable, zoneTable } from '@fillwright/core/units';

const known = new Map<string, ZoneTable>();

/** Zone tables by name, each made once. @throws RangeError where the runtime does not know the zone. */
export const zones: Zones = (zone) => {
  let table = known.get(zone);
  if (!table) {
    table = zoneTable(zone);
    known.set(zone, table);
  }
  return table;
};

/** The zone, or UTC where it is not known: for what must be kept whatever its site says. */
export function zoneOrUtc(zone: string | undefined): ZoneTable {
  try {
    return zones(zone ?? 'UTC');
  } catch {
    return zones('UTC');
  }
}
