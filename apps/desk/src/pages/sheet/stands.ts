import type { Pump, Tank } from '@fillwright/core/fleet';
import { isStraight, type Net, trackOrder } from './channel.ts';
import { compare, ISLAND, MARGIN, NEAR, PUMP, TANK, type Yard } from './yard.ts';

/** The row of tanks with the pumps on them: in which order, and where each stands so that lines cross least. */

const mean = (xs: readonly number[]): number | undefined =>
  xs.length === 0 ? undefined : xs.reduce((a, b) => a + b, 0) / xs.length;

/** A place in the tank row: a tank with what rises from it, or a pump that names no tank of the site. */
interface Stand {
  readonly tank: Tank | null;
  readonly risers: readonly Pump[];
  readonly wish: number;
}

function standsOf(yard: Yard, hoseX: ReadonlyMap<string, number>): Stand[] {
  const xsOf = (pump: Pump) => yard.hoses.filter((h) => h.pump === pump.id).map((h) => hoseX.get(h.id) ?? 0);
  const tanks = new Map(yard.tanks.map((t) => [t.id, { tank: t, risers: [] as Pump[], xs: [] as number[] }]));
  const stands: Stand[] = [];
  for (const pump of yard.pumps) {
    const from = pump.tanks.flatMap((id) => tanks.get(id) ?? []);
    const xs = xsOf(pump);
    for (const t of from) t.xs.push(...xs);
    // Two pumps on the same manifolded tanks stand one on each.
    const least = from.reduce<(typeof from)[number] | undefined>(
      (best, t) => (!best || t.risers.length < best.risers.length ? t : best),
      undefined,
    );
    if (least) least.risers.push(pump);
    else if (pump.kind === 'submersible' || xs.length === 0)
      stands.push({ tank: null, risers: [pump], wish: mean(xs) ?? Number.MAX_SAFE_INTEGER });
  }
  for (const { tank, risers, xs } of tanks.values()) {
    const byHose = [...risers].sort((a, b) => (mean(xsOf(a)) ?? 0) - (mean(xsOf(b)) ?? 0));
    stands.push({ tank, risers: byHose, wish: mean(xs) ?? Number.MAX_SAFE_INTEGER });
  }
  return stands.sort((a, b) => a.wish - b.wish || compare(a.tank ?? NO_NAME, b.tank ?? NO_NAME));
}
const NO_NAME = { name: '\uffff', id: '' };

export const widthOf = (s: Stand) => {
  const slots = s.risers.length * PUMP.slot + ISLAND.pad;
  return s.tank ? Math.max(TANK.w, slots) : PUMP.slot + ISLAND.pad;
};

/** Left edges: each as near as it may be to under its hoses, none on another. */
function spread(stands: readonly Stand[], width: number): number[] {
  const lefts: number[] = [];
  let x = MARGIN;
  for (const s of stands) {
    const wish = s.wish === Number.MAX_SAFE_INTEGER ? x : s.wish - widthOf(s) / 2;
    const left = Math.max(x, wish);
    lefts.push(left);
    x = left + widthOf(s) + TANK.gap;
  }
  // A crowd pushed to the right moves back to the left, one against the other, as far as the row needs it.
  const needed = stands.reduce((sum, s) => sum + widthOf(s) + TANK.gap, MARGIN) - TANK.gap;
  let limit = Math.max(width - MARGIN, needed);
  for (let i = stands.length - 1; i >= 0; i--) {
    lefts[i] = Math.min(lefts[i] as number, limit - widthOf(stands[i] as Stand));
    limit = (lefts[i] as number) - TANK.gap;
  }
  return lefts.map((l) => Math.round(l));
}

interface Riser {
  readonly pump: Pump;
  readonly tank: Tank | null;
  x: number;
}

function risersOf(stands: readonly Stand[], lefts: readonly number[], yard: Yard, hoseX: ReadonlyMap<string, number>) {
  const risers: Riser[] = [];
  stands.forEach((s, i) => {
    const middle = (lefts[i] as number) + widthOf(s) / 2;
    s.risers.forEach((pump, k) => {
      risers.push({ pump, tank: s.tank, x: Math.round(middle + (k - (s.risers.length - 1) / 2) * PUMP.slot) });
    });
  });
  for (const riser of risers)
    for (const hose of yard.hoses) {
      const x = hoseX.get(hose.id) ?? 0;
      if (Math.abs(riser.x - x) >= NEAR) continue;
      // Nearly under its own hose: make it straight. Nearly under another's: keep clear of that line.
      riser.x = hose.pump === riser.pump.id ? x : x + (riser.x < x ? -NEAR : NEAR);
    }
  return risers;
}

interface Plan {
  readonly risers: readonly Riser[];
  readonly nets: readonly { pump: Pump; kind: 'supply' | 'suction'; net: Net }[];
  readonly atHoses: ReadonlyMap<string, number>;
}

function planOf(yard: Yard, risers: readonly Riser[], hoseX: ReadonlyMap<string, number>): Plan {
  const nets: { pump: Pump; kind: 'supply' | 'suction'; net: Net }[] = [];
  const atHoses = new Map<string, number>();
  for (const pump of yard.pumps) {
    const above = yard.hoses.filter((h) => h.pump === pump.id).map((h) => hoseX.get(h.id) ?? 0);
    const riser = risers.find((r) => r.pump.id === pump.id);
    const first = above[0];
    if (first === undefined) continue;
    if (pump.kind === 'suction') {
      atHoses.set(pump.id, first);
      if (riser?.tank) nets.push({ pump, kind: 'suction', net: { below: [riser.x], above: [first] } });
    } else if (riser) nets.push({ pump, kind: 'supply', net: { below: [riser.x], above } });
  }
  return { risers, nets, atHoses };
}

/** Tries each neighbouring pair of the row the other way round, and keeps what crosses less. */
export function settle(yard: Yard, hoseX: ReadonlyMap<string, number>, width: number) {
  const tryOut = (stands: Stand[]) => {
    const lefts = spread(stands, width);
    const plan = planOf(yard, risersOf(stands, lefts, yard, hoseX), hoseX);
    const long = plan.nets.filter((n) => !isStraight(n.net));
    const tracks = trackOrder(long.map((n) => n.net));
    return { stands, lefts, plan, long, ...tracks };
  };
  let best = tryOut(standsOf(yard, hoseX));
  for (let better = best.cost > 0; better; ) {
    better = false;
    for (let i = 0; i + 1 < best.stands.length; i++) {
      const swapped = [...best.stands];
      swapped[i] = best.stands[i + 1] as Stand;
      swapped[i + 1] = best.stands[i] as Stand;
      const other = tryOut(swapped);
      if (other.cost < best.cost) {
        best = other;
        better = true;
      }
    }
  }
  return best;
}
