import type { Fleet, Hose, Island, Pump, Tank, Terminal } from '@fillwright/core/fleet';

/** What stands at one site, in the order in which people count it; and the measures of a sheet in drawing units. */

export const MARGIN = 24;
export const HOSE = { w: 56, h: 104, gap: 72 };
export const TERMINAL = { w: 96, h: 64 };
export const ISLAND = { title: 34, pad: 16, gap: 40, least: 152 };
export const PUMP = { w: 40, h: 34, slot: 104 };
export const TANK = { w: 136, h: 84, gap: 40 };
export const TRACK = 16;
export const NEAR = 12;

export const compare = (a: { name: string; id: string }, b: { name: string; id: string }) =>
  a.name.localeCompare(b.name, 'en', { numeric: true }) || (a.id < b.id ? -1 : a.id > b.id ? 1 : 0);

export interface Yard {
  readonly islands: readonly Island[];
  readonly terminals: readonly Terminal[];
  readonly hoses: readonly Hose[];
  readonly pumps: readonly Pump[];
  readonly tanks: readonly Tank[];
}

export function yardOf(fleet: Fleet, site: string): Yard {
  const own = <T extends { readonly site: string }>(rows: ReadonlyMap<string, T>) =>
    [...rows.values()].filter((row) => row.site === site);
  return {
    islands: own(fleet.islands).sort(compare),
    terminals: own(fleet.terminals).sort(compare),
    hoses: own(fleet.hoses).sort((a, b) => a.number - b.number || (a.id < b.id ? -1 : 1)),
    pumps: own(fleet.pumps).sort(compare),
    tanks: own(fleet.tanks).sort(compare),
  };
}
