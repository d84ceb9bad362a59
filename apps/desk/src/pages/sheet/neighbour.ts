import type { PartRef, Placed } from './layout.ts';

/** Moving over a sheet by the arrow keys. */

const STEPS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

export const same = (a: PartRef, b: PartRef | undefined): boolean => a.table === b?.table && a.id === b?.id;

/** Parts in reading order: island by island with what stands on it, then pumps and tanks, each from left to right. */
export function readingOrder(parts: readonly Placed[]): Placed[] {
  const islands = parts.filter((p) => p.table === 'islands').sort((a, b) => a.x - b.x);
  const inside = (island: Placed, p: Placed) => p.x >= island.x && p.x + p.w <= island.x + island.w;
  const above = parts.filter((p) => p.table === 'terminals' || p.table === 'hoses').sort((a, b) => a.x - b.x);
  const ordered: Placed[] = [];
  for (const island of islands) ordered.push(island, ...above.filter((p) => inside(island, p)));
  ordered.push(...above.filter((p) => !islands.some((island) => inside(island, p))));
  for (const table of ['pumps', 'tanks'] as const)
    ordered.push(...parts.filter((p) => p.table === table).sort((a, b) => a.x - b.x));
  return ordered;
}

/** The part that an arrow key leads to: the nearest in that direction, sideways distance counting double; undefined at the edge. */
export function neighbour(parts: readonly Placed[], from: PartRef, key: string): Placed | undefined {
  const ordered = readingOrder(parts);
  if (key === 'Home') return ordered[0];
  if (key === 'End') return ordered.at(-1);
  const step = STEPS[key];
  const here = parts.find((p) => same(p, from));
  if (!step || !here) return undefined;
  const [dx, dy] = step;
  let best: Placed | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const p of ordered) {
    if (same(p, from)) continue;
    const [x, y] = [p.x + p.w / 2 - (here.x + here.w / 2), p.y + p.h / 2 - (here.y + here.h / 2)];
    const along = x * dx + y * dy;
    const aside = Math.abs(x * dy) + Math.abs(y * dx);
    if (along <= 0 || aside > 3 * along) continue;
    const distance = along + 2 * aside;
    if (distance < least) [best, least] = [p, distance];
  }
  return best;
}
