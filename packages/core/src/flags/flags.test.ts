import { FLAG_KINDS, type FlagFill, flags, type LooseFlow } from '@fillwright/core/flags';
import { zoneTable } from '@fillwright/core/units';
import { fleetMonths, harrowmere } from '@fillwright/sim';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';

const fleet = harrowmere();
const DAY = 86_400_000;
const MIN = 60_000;
const FROM = Date.UTC(2026, 0, 5);
const SINCE = FROM + 60 * DAY;
const tables = new Map<string, ReturnType<typeof zoneTable>>();
const zones = (zone: string) => {
  const table = tables.get(zone) ?? zoneTable(zone, 2025, 2027);
  tables.set(zone, table);
  return table;
};
const quiet = fleetMonths({ seed: 1, fleet, from: FROM, days: 90, slips: 0 }).fills;
const found = (fills: readonly FlagFill[], loose: readonly LooseFlow[] = []) =>
  flags({ fleet, fills, loose, zones, since: SINCE });

const isDef = (f: FlagFill) => fleet.products.get(f.product)?.kind === 'def';
/** A late fill of a vehicle that has a history, with what it needs. */
function late(needs: (f: FlagFill, all: readonly FlagFill[]) => boolean): { fill: FlagFill; all: FlagFill[] } {
  for (const fill of quiet) {
    if (fill.from <= SINCE + 5 * DAY || isDef(fill)) continue;
    const all = quiet.filter((f) => f.vehicle === fill.vehicle && !isDef(f));
    if (all.indexOf(fill) >= 22 && needs(fill, all)) return { fill, all };
  }
  throw new Error('no such fill');
}
const change = (id: string, with_: Partial<FlagFill>) => quiet.map((f) => (f.id === id ? { ...f, ...with_ } : f));
const another = (f: FlagFill, with_: Partial<FlagFill>): FlagFill => ({ ...f, id: 'planted', ...with_ });
const odometer = (f: FlagFill) => f.odometer !== undefined;
const otherSite = (f: FlagFill) =>
  [...fleet.hoses.values()].find((h) => h.site !== f.site && h.product === f.product && h.active);

/** For each kind: what to do to quiet months so that it must be found, and on which fill or hose. */
const planted: Record<string, () => { fills: readonly FlagFill[]; loose?: LooseFlow[]; on: string }> = {
  G01: () => {
    const { fill } = late((f) => (fleet.vehicles.get(f.vehicle ?? '')?.capacity ?? 0) > 0);
    const holds = fleet.vehicles.get(fill.vehicle ?? '')?.capacity as number;
    return { fills: change(fill.id, { volume: Math.round(holds * 1.06) }), on: fill.id };
  },
  G02: () => {
    const { fill } = late(odometer);
    return { fills: change(fill.id, { odometer: 1_500 }), on: fill.id };
  },
  G03: () => {
    const { fill } = late(odometer);
    return { fills: change(fill.id, { odometer: (fill.odometer as number) + 40_000 }), on: fill.id };
  },
  G04: () => {
    const { fill, all } = late((f, list) => odometer(f) && list.indexOf(f) > 22);
    const recent = all.slice(all.indexOf(fill) - 2, all.indexOf(fill) + 1).map((f) => f.id);
    return {
      fills: quiet.map((f) => (recent.includes(f.id) ? { ...f, volume: Math.round(f.volume * 1.7) } : f)),
      on: fill.vehicle ?? '',
    };
  },
  G05: () => {
    const { fill } = late((f) => otherSite(f) !== undefined);
    const there = otherSite(fill);
    const b = another(fill, {
      site: there?.site ?? '',
      hose: there?.id ?? '',
      from: fill.to + 3 * MIN,
      to: fill.to + 5 * MIN,
    });
    return { fills: [...quiet, b], on: 'planted' };
  },
  G06: () => {
    const { fill } = late((f, all) => new Date(f.from).getUTCHours() > 8 && all.length > 30);
    return { fills: change(fill.id, { from: fill.from + 12 * 60 * MIN, to: fill.to + 12 * 60 * MIN }), on: fill.id };
  },
  G07: () => {
    const { fill } = late(() => true);
    const first = { limit: fill.volume };
    const b = another(fill, { from: fill.to + 20 * MIN, to: fill.to + 22 * MIN });
    return { fills: [...change(fill.id, first), b], on: 'planted' };
  },
  G08: () => {
    const { fill } = late((f) => f.product === 'diesel');
    return { fills: change(fill.id, { product: 'petrol' }), on: fill.id };
  },
  G09: () => {
    const { fill } = late((f) => quiet.some((d) => d.vehicle === f.vehicle && isDef(d)));
    const def = quiet.find((d) => d.vehicle === fill.vehicle && isDef(d)) as FlagFill;
    const { odometer: _o, hours: _h, ...unread } = def;
    const more = Array.from({ length: 12 }, (_, i) =>
      another(unread, { id: `planted-${i}`, from: fill.from + (i + 1) * DAY, to: fill.from + (i + 1) * DAY + 4 * MIN }),
    );
    return { fills: [...quiet, ...more], on: fill.vehicle ?? '' };
  },
  G10: () => {
    const hose = [...fleet.hoses.values()][0];
    const loose = { id: 'l-1', site: hose?.site ?? '', hose: hose?.id ?? '', at: SINCE + DAY, volume: 9_000_000 };
    return { fills: quiet, loose: [loose], on: loose.hose };
  },
};

describe('flags', () => {
  it('has a planted case for every kind', () => {
    expect(Object.keys(planted).sort()).toEqual(FLAG_KINDS.map((k) => k.code).sort());
  });

  it.each(FLAG_KINDS.map((k) => [k.code, k.title] as const))('%s, %s: found where it is planted', (code) => {
    const plant = planted[code]?.();
    if (!plant) throw new Error('not planted');
    const before = new Set(found(quiet).map((f) => f.id));
    const fresh = found(plant.fills, plant.loose).filter((f) => !before.has(f.id));
    const hit = fresh.find((f) => f.code === code && f.on.some((r) => r.id === plant.on));
    expect(hit, JSON.stringify(fresh.map((f) => f.id))).toBeDefined();
    expect(hit?.text).toMatch(/\d/);
    expect(hit?.next).toMatch(/\.$/);
    // One planted case is a handful of flags at most: those that say the same of it in another way.
    expect(fresh.length).toBeLessThanOrEqual(4);
  });

  it('calls one slip of a key one flag, and keeps its id while more fills come', () => {
    const { fill, all } = late((f, list) => odometer(f) && list.indexOf(f) > 22 && list.indexOf(f) < list.length - 3);
    for (const wrong of [1_500, (fill.odometer as number) * 10]) {
      const before = new Set(found(quiet).map((f) => f.id));
      const fresh = (fills: readonly FlagFill[]) => found(fills).filter((f) => !before.has(f.id));
      const slipped = change(fill.id, { odometer: wrong });
      const next = all[all.indexOf(fill) + 1] as FlagFill;
      const early = fresh(slipped.filter((f) => f.from < next.from)).filter((f) => f.on.some((r) => r.id === fill.id));
      expect(early).toHaveLength(1);
      expect(fresh(slipped).map((f) => f.id)).toEqual([early[0]?.id]);
    }
  });
  it('goes on from a counter that was changed, after one flag', () => {
    const { fill, all } = late((f, list) => odometer(f) && list.indexOf(f) > 22 && list.indexOf(f) < list.length - 3);
    const from = all.indexOf(fill);
    const anew = new Map(all.slice(from).map((f) => [f.id, (f.odometer as number) - (fill.odometer as number) + 12]));
    const fills = quiet.map((f) => (anew.has(f.id) ? { ...f, odometer: anew.get(f.id) as number } : f));
    const fresh = found(fills).filter((f) => f.code === 'G02' && f.on.some((r) => r.id === fill.vehicle));
    expect(fresh).toHaveLength(1);
  });
  it('adds up what goes into one tank within the hour', () => {
    const { fill } = late((f) => (fleet.vehicles.get(f.vehicle ?? '')?.capacity ?? 0) > 0);
    const holds = fleet.vehicles.get(fill.vehicle ?? '')?.capacity as number;
    const second = (after: number) =>
      another(fill, { from: fill.to + after, to: fill.to + after + MIN, volume: holds });
    const codes = (b: FlagFill) =>
      found([...quiet, b]).flatMap((f) => (f.on.some((r) => r.id === 'planted') ? [f.code] : []));
    expect(codes(second(30 * MIN))).toContain('G01');
    expect(codes(second(5 * 60 * MIN))).not.toContain('G01');
  });
  it('keeps to six a day for a hundred vehicles in ordinary months', () => {
    for (const seed of [1, 2, 3]) {
      const { fills } = fleetMonths({ seed, fleet, from: FROM, days: 90 });
      const perDay = found(fills).length / 30 / (fleet.vehicles.size / 100);
      expect(perDay).toBeLessThanOrEqual(6);
    }
  });

  it('finds the same in whatever order the fills come', () => {
    const { fills } = fleetMonths({ seed: 4, fleet, from: FROM, days: 75, slips: 0.05 });
    const ids = found(fills).map((f) => f.id);
    expect(ids.length).toBeGreaterThan(0);
    fc.assert(
      fc.property(fc.shuffledSubarray(fills, { minLength: fills.length }), (mixed) => {
        expect(found(mixed).map((f) => f.id)).toEqual(ids);
      }),
      { numRuns: 5, seed: 7 },
    );
  });
});
