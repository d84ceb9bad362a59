import {
  type Fleet,
  type Hose,
  type Island,
  newRow,
  type Pump,
  rowsOf,
  type Site,
  startsFor,
  type TableName,
  type Tank,
  type Terminal,
} from '@fillwright/core/fleet';

/** The next part of a site with everything filled in that follows from what stands there already. */

const LONGEST_ID = 60;

/** Stands where a record must name another that is not there yet; the findings say so until one is chosen. */
export const NOT_CHOSEN = 'not-chosen';

/** An id made from words that no record of the table has: 'north-hose-3', else 'north-hose-3-2'. */
export function freeId(fleet: Fleet, table: TableName, words: string): string {
  const base =
    words
      .normalize('NFKD')
      .toLowerCase()
      .replace(/[^a-z0-9]+/g, '-')
      .replace(/^-+|-+$/g, '')
      .slice(0, LONGEST_ID - 4)
      .replace(/-+$/, '') || 'new';
  const rows = rowsOf(fleet, table);
  for (let n = 1; ; n++) {
    const id = n === 1 ? base : `${base}-${n}`;
    if (!rows.has(id)) return id;
  }
}

/** The least whole number from 1 that is not taken, up to `most`; null when all are. */
export function leastFree(taken: Iterable<number>, most: number): number | null {
  const set = new Set(taken);
  for (let n = 1; n <= most; n++) if (!set.has(n)) return n;
  return null;
}

const atSite = <T extends { readonly site: string }>(rows: ReadonlyMap<string, T>, site: string): T[] =>
  [...rows.values()].filter((row) => row.site === site);

function freeName(taken: readonly string[], word: string): string {
  for (let n = taken.length + 1; ; n++) if (!taken.includes(`${word} ${n}`)) return `${word} ${n}`;
}

/** Of what a pump gives: the product of its first tank. */
function productOfPump(fleet: Fleet, pump: string): string {
  const tank = fleet.pumps.get(pump)?.tanks[0];
  return (tank === undefined ? undefined : fleet.tanks.get(tank)?.product) ?? NOT_CHOSEN;
}

/** The pump of a new hose where none is named: the next hose of an island takes turns among the site's pumps as its neighbour did. */
const usualPump = (fleet: Fleet, island: Island): string => {
  const pumps = atSite(fleet.pumps, island.site);
  const on = atSite(fleet.hoses, island.site).filter((h) => h.island === island.id);
  const unused = pumps.find((p) => !on.some((h) => h.pump === p.id));
  return (unused ?? pumps[0])?.id ?? NOT_CHOSEN;
};

/** Null when all 99 numbers or all 64 channels of the site are taken. */
export function nextHose(fleet: Fleet, island: Island, pump = usualPump(fleet, island)): Hose | null {
  const hoses = atSite(fleet.hoses, island.site);
  const number = leastFree(
    hoses.map((h) => h.number),
    99,
  );
  const channel = leastFree(
    hoses.map((h) => h.channel),
    64,
  );
  if (number === null || channel === null) return null;
  const product = productOfPump(fleet, pump);
  const alike = hoses.find((h) => h.pump === pump);
  return newRow('hoses', {
    id: freeId(fleet, 'hoses', `${island.site}-hose-${number}`),
    site: island.site,
    island: island.id,
    number,
    channel,
    pump,
    product,
    terminals: atSite(fleet.terminals, island.site)
      .filter((t) => t.island === island.id)
      .map((t) => t.id),
    ...startsFor(fleet.products.get(product)?.kind ?? 'other'),
    // A meter like its neighbour's is the better guess than the general start.
    ...(alike ? { pulses: alike.pulses } : {}),
  });
}

export function nextTank(fleet: Fleet, site: string): Tank {
  const tanks = atSite(fleet.tanks, site);
  const name = freeName(
    tanks.map((t) => t.name),
    'Tank',
  );
  const used = new Set(tanks.map((t) => t.product));
  const product = [...fleet.products.keys()].find((p) => !used.has(p)) ?? [...fleet.products.keys()][0] ?? NOT_CHOSEN;
  return newRow('tanks', { id: freeId(fleet, 'tanks', `${site}-${name}`), site, name, product });
}

export function nextPump(fleet: Fleet, site: string, tank?: string): Pump {
  const pumps = atSite(fleet.pumps, site);
  const name = freeName(
    pumps.map((p) => p.name),
    'Pump',
  );
  const bare = atSite(fleet.tanks, site).find((t) => !pumps.some((p) => p.tanks.includes(t.id)));
  const from = tank ?? bare?.id;
  return newRow('pumps', {
    id: freeId(fleet, 'pumps', `${site}-${name}`),
    site,
    name,
    tanks: from === undefined ? [] : [from],
  });
}

export function nextIsland(fleet: Fleet, site: string): Island {
  const name = freeName(
    atSite(fleet.islands, site).map((i) => i.name),
    'Island',
  );
  return newRow('islands', { id: freeId(fleet, 'islands', `${site}-${name}`), site, name });
}

export function nextTerminal(fleet: Fleet, island: Island): Terminal {
  const name = freeName(
    atSite(fleet.terminals, island.site).map((t) => t.name),
    'Terminal',
  );
  return newRow('terminals', {
    id: freeId(fleet, 'terminals', `${island.site}-${name}`),
    site: island.site,
    island: island.id,
    name,
  });
}

export function nextSite(fleet: Fleet, zone: string): Site {
  const name = freeName(
    [...fleet.sites.values()].map((s) => s.name),
    'Site',
  );
  return newRow('sites', { id: freeId(fleet, 'sites', name), name, zone });
}
