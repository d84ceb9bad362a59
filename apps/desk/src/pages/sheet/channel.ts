/**
 * Lines between two rows of pins, as a draughtsman runs them: each net gets one horizontal track of its own and rises or falls from it
 * straight to its pins. Only the order of the tracks is free; it is chosen so that the fewest lines cross.
 */

export interface Net {
  /** Where it enters from below, and where it leaves above. */
  readonly below: readonly number[];
  readonly above: readonly number[];
}

const OVERLAP = 1000; // two nets drawn on top of each other read as one line: far worse than any crossing
const MOST_EXACT = 6;

export const spanOf = (net: Net): readonly [number, number] => {
  const xs = [...net.below, ...net.above];
  return [Math.min(...xs), Math.max(...xs)];
};

/** A net that needs no track: one straight line. */
export const isStraight = (net: Net): boolean => {
  const [low, high] = spanOf(net);
  return low === high;
};

/** What it costs when `upper` runs on a track above `lower`. */
function costAbove(upper: Net, lower: Net): number {
  const [upLow, upHigh] = spanOf(upper);
  const [lowLow, lowHigh] = spanOf(lower);
  let cost = 0;
  for (const x of upper.below) if (x >= lowLow && x <= lowHigh) cost++;
  for (const x of lower.above) if (x >= upLow && x <= upHigh) cost++;
  for (const x of upper.below) if (lower.above.includes(x)) cost += OVERLAP;
  return cost;
}

function totalOf(order: readonly number[], costs: readonly (readonly number[])[]): number {
  let total = 0;
  for (let i = 0; i < order.length; i++)
    for (let j = i + 1; j < order.length; j++) total += costs[order[i] as number]?.[order[j] as number] ?? 0;
  return total;
}

function* permutations(items: readonly number[]): Generator<number[]> {
  if (items.length <= 1) {
    yield [...items];
    return;
  }
  for (let i = 0; i < items.length; i++)
    for (const rest of permutations([...items.slice(0, i), ...items.slice(i + 1)])) yield [items[i] as number, ...rest];
}

/** The order of the nets' tracks from the top, and what it costs. Exact to six nets; beyond, neighbours are swapped while it helps. */
export function trackOrder(nets: readonly Net[]): { order: number[]; cost: number } {
  const costs = nets.map((a) => nets.map((b) => costAbove(a, b)));
  const all = nets.map((_, i) => i);
  let order = all;
  let cost = totalOf(all, costs);
  if (nets.length <= MOST_EXACT) {
    for (const candidate of permutations(all)) {
      const c = totalOf(candidate, costs);
      if (c < cost) [order, cost] = [candidate, c];
    }
    return { order, cost };
  }
  for (let better = true; better; ) {
    better = false;
    for (let i = 0; i < order.length; i++)
      for (let j = i + 1; j < order.length; j++) {
        const candidate = [...order];
        candidate[i] = order[j] as number;
        candidate[j] = order[i] as number;
        const c = totalOf(candidate, costs);
        if (c < cost) {
          [order, cost, better] = [candidate, c, true];
        }
      }
  }
  return { order, cost };
}
