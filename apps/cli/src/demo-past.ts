import { canonical, type Fleet } from '@fillwright/core/fleet';
import { entrySchema } from '@fillwright/core/island';
import { zoneTable } from '@fillwright/core/units';
import type { Hub } from '@fillwright/hub';
import { pastOf } from '@fillwright/sim';
import { keepYard } from '@fillwright/site';
import { type Caller, call } from '@fillwright/wire';
import { chainHash } from '@fillwright/wire/chain';
import { must } from './office.ts';

/** Litres an hour: about three tenths of a gallon. */
const LEAKS = { 'sallow-quay-t1': 1.1 };
const SEED = 'harrowmere lives';
const A_MESSAGE = 500;

export interface DemoPast {
  readonly hub: Pick<Hub, 'take'>;
  readonly office: Caller;
  /** The fleet's id at the office. */
  readonly id: string;
  readonly fleet: Fleet;
  readonly weeks: number;
  /** ms UTC. */
  readonly now: number;
  /** Where the box of a site keeps its data. */
  readonly folderOf: (site: string) => string;
}

/**
 * Gives a new office weeks that its sites have lived: their journals, under an epoch of their own, by the same way in as any box's; opening stocks
 * and bills of lading as a person would write them; and yards whose tanks stand where the history ends.
 */
export async function livePast(o: DemoPast): Promise<{ fills: number; entries: number; ms: number }> {
  const began = performance.now();
  const epoch = `${Math.floor((o.now - o.weeks * 7 * 86_400_000) / 1000).toString(36)}-past`;
  const zones = new Map([...o.fleet.sites.values()].map((s) => [s.zone, zoneTable(s.zone)]));
  const past = pastOf({
    ...{ seed: SEED, fleet: o.fleet, epoch, revision: 1, until: o.now, weeks: o.weeks, leaks: LEAKS },
    zones: (zone) => zones.get(zone) ?? zoneTable(zone),
  });
  for (const t of past.tanks) {
    const params = { tank: t.tank };
    const body = { kind: 'correction' as const, volume: t.openingUl, at: past.from, note: 'Opening stock, by dip' };
    must(await call(o.office, 'addTankMove', { params, body }));
    for (const [i, bill] of t.bills.entries()) {
      const document = `BOL ${t.tank.toUpperCase()}-${i + 1}`;
      const given = { at: bill.at, gross: bill.ul, net: null, tempC: bill.tempC, document, compartments: [] };
      must(await call(o.office, 'addDelivery', { params, body: given }));
    }
  }
  let [fills, entries] = [0, 0];
  await Promise.all(
    [...past.journals].map(async ([site, journal]) => {
      let hash = '00'.repeat(32);
      const chained = journal.map((entry, i) => {
        const text = canonical(entrySchema.parse(entry));
        hash = chainHash(hash, i + 1, entry.at, text);
        return { seq: i + 1, at: entry.at, hash, text };
      });
      fills += journal.filter((e) => e.kind === 'ended').length;
      entries += chained.length;
      for (let i = 0; i < chained.length; i += A_MESSAGE)
        await o.hub.take(o.id, site, { epoch, entries: chained.slice(i, i + A_MESSAGE) });
      const here = past.tanks.filter((t) => t.site === site);
      const held = Object.fromEntries(here.map((t) => [t.tank, restingAt(t.closing, past.to)]));
      keepYard(o.folderOf(site), held, past.counters);
    }),
  );
  return { fills, entries, ms: performance.now() - began };
}

/** A yard lets the fuel's temperature swing by 0.4 K over a day about its mean; it must stand where the history ended. */
const restingAt = ({ ul, tempC }: { ul: number; tempC: number }, at: number) => ({
  ul,
  tempC: tempC - 0.4 * Math.sin((2 * Math.PI * (at % 86_400_000)) / 86_400_000),
});
