import type { Fleet, Island } from '@fillwright/core/fleet';
import { isStraight, type Net, spanOf, trackOrder } from './channel.ts';
import { settle, widthOf } from './stands.ts';
import { HOSE, ISLAND, MARGIN, NEAR, PUMP, TANK, TERMINAL, TRACK, type Yard, yardOf } from './yard.ts';

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
interface Line {
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
