import type { Fleet, Hose, Island, Pump, Tank, Terminal } from '@fillwright/core/fleet';
import { isStraight, type Net, spanOf, trackOrder } from './channel.ts';

/** Where every part of a site stands on its sheet and how the lines run, in drawing units; the same data always gives the same drawing. */

export type PartTable = 'islands' | 'terminals' | 'hoses' | 'pumps' | 'tanks';
export interface PartRef {
  readonly table: PartTable;
  readonly id: string;
}
export interface Placed extends PartRef {
  readonly x: number;
  readonly y: number;
  readonly w: number;
  readonly h: number;
}
export interface Segment {
  readonly x1: number;
  readonly y1: number;
  readonly x2: number;
  readonly y2: number;
}
export interface Line {
  readonly key: string;
  /** supply: pump to hoses; suction: tank to a pump at the dispenser; manifold: tanks joined. */
  readonly kind: 'supply' | 'suction' | 'manifold';
  readonly pump: string | null;
  readonly segments: readonly Segment[];
  /** Where three or more ways of one line meet. */
  readonly joints: readonly { readonly x: number; readonly y: number }[];
}
export interface Layout {
  readonly width: number;
  readonly height: number;
  readonly parts: readonly Placed[];
  readonly lines: readonly Line[];
  /** Holds what names no island of this site; absent when everything does. */
  readonly loose: Omit<Placed, 'table' | 'id'> | null;
}

const MARGIN = 24;
const HOSE = { w: 56, h: 104, gap: 72 };
const TERMINAL = { w: 84, h: 64 };
const ISLAND = { title: 34, pad: 16, gap: 40, least: 152 };
const PUMP = { w: 40, h: 34, slot: 104 };
const TANK = { w: 136, h: 84, gap: 40 };
const TRACK = 16;
const NEAR = 12;

const compare = (a: { name: string; id: string }, b: { name: string; id: string }) =>
  a.name.localeCompare(b.name, 'en', { numeric: true }) || (a.id < b.id ? -1 : a.id > b.id ? 1 : 0);

interface Yard {
  readonly islands: readonly Island[];
  readonly terminals: readonly Terminal[];
  readonly hoses: readonly Hose[];
  readonly pumps: readonly Pump[];
  readonly tanks: readonly Tank[];
}

function yardOf(fleet: Fleet, site: string): Yard {
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

const mean = (xs: readonly number[]): number | undefined =>
  xs.length === 0 ? undefined : xs.reduce((a, b) => a + b, 0) / xs.length;

/** Islands from left to right with their terminals and hoses; whatever names no island of the site stands apart at the end. */
function placeIslands(yard: Yard, parts: Placed[]) {
  const known = new Set(yard.islands.map((i) => i.id));
  const hoseX = new Map<string, number>();
  const h = ISLAND.title + HOSE.h + ISLAND.pad;
  let x = MARGIN;
  let loose: Layout['loose'] = null;
  const groups: (Island | null)[] = [...yard.islands];
  const astray = (island: string) => !known.has(island);
  if (yard.hoses.some((r) => astray(r.island)) || yard.terminals.some((r) => astray(r.island))) groups.push(null);
  for (const island of groups) {
    const on = (ref: string) => (island ? ref === island.id : astray(ref));
    const terminals = yard.terminals.filter((r) => on(r.island));
    const hoses = yard.hoses.filter((r) => on(r.island));
    const used = terminals.length * (TERMINAL.w + ISLAND.pad) + hoses.length * HOSE.gap;
    const w = Math.max(ISLAND.least, used + 2 * ISLAND.pad);
    const box = { x, y: MARGIN, w, h };
    if (island) parts.push({ table: 'islands', id: island.id, ...box });
    else loose = box;
    let inner = x + ISLAND.pad;
    for (const t of terminals) {
      parts.push({
        table: 'terminals',
        id: t.id,
        x: inner,
        y: MARGIN + ISLAND.title + 8,
        w: TERMINAL.w,
        h: TERMINAL.h,
      });
      inner += TERMINAL.w + ISLAND.pad;
    }
    for (const hose of hoses) {
      const left = inner + (HOSE.gap - HOSE.w) / 2;
      parts.push({ table: 'hoses', id: hose.id, x: left, y: MARGIN + ISLAND.title, w: HOSE.w, h: HOSE.h });
      hoseX.set(hose.id, left + HOSE.w / 2);
      inner += HOSE.gap;
    }
    x += w + ISLAND.gap;
  }
  return { hoseX, loose, width: groups.length > 0 ? x - ISLAND.gap + MARGIN : 0, bottom: MARGIN + h };
}

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

const widthOf = (s: Stand) => {
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
function settle(yard: Yard, hoseX: ReadonlyMap<string, number>, width: number) {
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

/** The segments of one net whose horizontal runs at `y`, from pins at `bottom` to pins at `top`. */
function segmentsOf(net: Net, y: number, bottom: number, top: number): Pick<Line, 'segments' | 'joints'> {
  const [low, high] = spanOf(net);
  if (low === high) return { segments: [{ x1: low, y1: bottom, x2: low, y2: top }], joints: [] };
  const segments: Segment[] = [{ x1: low, y1: y, x2: high, y2: y }];
  for (const x of net.below) segments.push({ x1: x, y1: bottom, x2: x, y2: y });
  for (const x of net.above) segments.push({ x1: x, y1: y, x2: x, y2: top });
  const xs = [...net.below, ...net.above];
  const joints = [...new Set(xs)]
    .filter((x) => (x > low && x < high) || xs.filter((other) => other === x).length > 1)
    .map((x) => ({ x, y }));
  return { segments, joints };
}

export function layout(fleet: Fleet, site: string): Layout {
  const yard = yardOf(fleet, site);
  const parts: Placed[] = [];
  const lines: Line[] = [];
  const { hoseX, loose, width: islandWidth, bottom } = placeIslands(yard, parts);
  const best = settle(yard, hoseX, islandWidth);
  const hoseBottom = bottom - ISLAND.pad;

  // Pumps at the dispenser stand just below their first hose, with their own short tracks above them.
  const suction = yard.pumps.filter((p) => best.plan.atHoses.has(p.id));
  const upper = suction.map((pump) => {
    const x = best.plan.atHoses.get(pump.id) ?? 0;
    return {
      pump,
      x,
      net: { below: [x], above: yard.hoses.filter((h) => h.pump === pump.id).map((h) => hoseX.get(h.id) ?? 0) },
    };
  });
  const upperLong = upper.filter((u) => !isStraight(u.net));
  const upperOrder = trackOrder(upperLong.map((u) => u.net)).order;
  const upperTop = bottom + TRACK;
  const suctionY = upperTop + upperLong.length * TRACK;
  for (const u of upper) {
    const place = upperOrder.findIndex((i) => upperLong[i] === u);
    parts.push({ table: 'pumps', id: u.pump.id, x: u.x - PUMP.w / 2, y: suctionY, w: PUMP.w, h: PUMP.h });
    lines.push({
      key: `supply:${u.pump.id}`,
      kind: 'supply',
      pump: u.pump.id,
      ...segmentsOf(u.net, upperTop + place * TRACK, suctionY, hoseBottom),
    });
  }
  const channelTop = suction.length > 0 ? suctionY + PUMP.h + TRACK : bottom + TRACK;
  const pumpY = channelTop + best.long.length * TRACK + TRACK;
  const tankY = pumpY + PUMP.h;
  for (const n of best.plan.nets) {
    const place = best.order.findIndex((i) => best.long[i] === n);
    const riser = best.plan.risers.find((r) => r.pump.id === n.pump.id);
    const from = n.kind === 'suction' ? tankY : pumpY;
    const to = n.kind === 'suction' ? suctionY + PUMP.h : hoseBottom;
    if (riser)
      lines.push({
        key: `${n.kind}:${n.pump.id}`,
        kind: n.kind,
        pump: n.pump.id,
        ...segmentsOf(n.net, channelTop + place * TRACK, from, to),
      });
  }
  for (const r of best.plan.risers)
    if (!best.plan.atHoses.has(r.pump.id))
      parts.push({ table: 'pumps', id: r.pump.id, x: r.x - PUMP.w / 2, y: pumpY, w: PUMP.w, h: PUMP.h });
  let right = islandWidth;
  best.stands.forEach((s, i) => {
    const x = best.lefts[i] as number;
    if (s.tank) parts.push({ table: 'tanks', id: s.tank.id, x, y: tankY, w: widthOf(s), h: TANK.h });
    right = Math.max(right, x + widthOf(s) + MARGIN);
  });
  const manifolds = manifoldsOf(yard, parts, tankY + TANK.h);
  lines.push(...manifolds);
  const lowest = Math.max(
    bottom,
    ...parts.map((p) => p.y + p.h),
    ...lines.flatMap((l) => l.segments.map((g) => Math.max(g.y1, g.y2))),
  );
  return {
    width: Math.max(right, 2 * MARGIN),
    height: lowest + MARGIN,
    parts,
    lines,
    loose,
  };
}

/** Tanks that a pump draws from together are joined below; each set of tanks once. */
function manifoldsOf(yard: Yard, parts: readonly Placed[], bottom: number): Line[] {
  const sets = new Map<string, { pump: string; tanks: Placed[] }>();
  for (const pump of yard.pumps) {
    const tanks = parts.filter((p) => p.table === 'tanks' && pump.tanks.includes(p.id));
    const key = tanks.map((t) => t.id).join(' ');
    if (tanks.length > 1 && !sets.has(key)) sets.set(key, { pump: pump.id, tanks });
  }
  // A tank in several manifolds has a pin of its own for each.
  const all = [...sets.values()];
  return all.map(({ pump, tanks }, i) => {
    const shift = (i - (all.length - 1) / 2) * NEAR;
    const net: Net = { below: [], above: tanks.map((t) => t.x + t.w / 2 + shift) };
    const y = bottom + (i + 1) * TRACK;
    return { key: `manifold:${pump}`, kind: 'manifold', pump, ...segmentsOf(net, y, y, bottom) } satisfies Line;
  });
}
