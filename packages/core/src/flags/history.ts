import { unitOf, volumeWords } from '../fleet/index.ts';
import { localMoment } from '../units/index.ts';
import type { FlagFill, FlagInput, History } from './flag.ts';

/** Sorts and sorts out what all kinds of flag look at. Cost n log n in the fills. */
export function historyOf(input: FlagInput): History {
  const fills = input.fills.toSorted((a, b) => a.from - b.from || (a.id < b.id ? -1 : 1));
  const unit = unitOf(input.fleet.settings);
  return {
    ...input,
    fills,
    byVehicle: by(fills, (f) => f.vehicle),
    byDriver: by(fills, (f) => f.driver),
    volumeText: (ul) => volumeWords(ul, unit),
    called: (table, id) => {
      const row = input.fleet[table].get(id);
      const name = row && 'name' in row && row.name !== '' ? row.name : id;
      if (table === 'hoses' && row && 'number' in row) return `hose ${row.number}`;
      return `“${name}”`;
    },
    minuteOf: (fill) => {
      const zone = input.fleet.sites.get(fill.site)?.zone ?? 'UTC';
      return localMoment(input.zones(zone), fill.from).minute;
    },
  };
}

function by(fills: readonly FlagFill[], key: (fill: FlagFill) => string | null): Map<string, FlagFill[]> {
  const groups = new Map<string, FlagFill[]>();
  for (const fill of fills) {
    const k = key(fill);
    if (k === null) continue;
    const group = groups.get(k);
    if (group) group.push(fill);
    else groups.set(k, [fill]);
  }
  return groups;
}
