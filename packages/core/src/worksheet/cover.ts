/** The fewest sets that together hold every element, by their place in the list. */
export interface Cover {
  readonly chosen: readonly number[];
  /** False where the search was given up: then it is a cover, and perhaps not a smallest. */
  readonly exact: boolean;
}

/** Steps of the search after which what was found so far stands. */
const MOST_STEPS = 100_000;

/**
 * Smallest cover of the elements 0 to `count` - 1 (those that no set holds are left out): greedy first, then branch and bound on the element
 * that the fewest sets hold. Among equal covers the earlier sets are preferred. Deterministic.
 */
export function fewestSets(sets: readonly (readonly number[])[], count: number, mostSteps = MOST_STEPS): Cover {
  const holders: number[][] = Array.from({ length: count }, () => []);
  const useful = withoutDominated(sets);
  for (const s of useful) for (const e of sets[s] as number[]) (holders[e] as number[]).push(s);
  const open = new Set<number>();
  for (const [e, list] of holders.entries()) if (list.length > 0) open.add(e);
  let best = greedy(sets, useful, open);
  const largest = Math.max(1, ...useful.map((s) => (sets[s] as number[]).length));
  let steps = 0;
  const covered = new Int32Array(count);
  const chosen: number[] = [];
  const search = (left: number): void => {
    if (++steps > mostSteps) return;
    if (left === 0) {
      if (chosen.length < best.length) best = [...chosen];
      return;
    }
    if (chosen.length + Math.ceil(left / largest) >= best.length) return;
    let pick = -1;
    for (const e of open)
      if (covered[e] === 0 && (pick < 0 || (holders[e] as number[]).length < (holders[pick] as number[]).length))
        pick = e;
    for (const s of holders[pick] as number[]) {
      let won = 0;
      for (const e of sets[s] as number[]) if ((covered[e] as number)++ === 0) won++;
      chosen.push(s);
      search(left - won);
      chosen.pop();
      for (const e of sets[s] as number[]) (covered[e] as number)--;
    }
  };
  search(open.size);
  return { chosen: best.sort((a, b) => a - b), exact: steps <= mostSteps };
}

/** Sets that no other holds wholly; of equal ones the first. */
function withoutDominated(sets: readonly (readonly number[])[]): number[] {
  const held = sets.map((s) => new Set(s));
  const within = (a: number, b: number) => (sets[a] as number[]).every((e) => (held[b] as Set<number>).has(e));
  return sets.flatMap((s, a) => {
    if (s.length === 0) return [];
    const dominated = sets.some(
      (o, b) => b !== a && (o.length > s.length || (o.length === s.length && b < a)) && within(a, b),
    );
    return dominated ? [] : [a];
  });
}

function greedy(sets: readonly (readonly number[])[], useful: readonly number[], all: ReadonlySet<number>): number[] {
  const open = new Set(all);
  const chosen: number[] = [];
  while (open.size > 0) {
    let [best, most] = [-1, 0];
    for (const s of useful) {
      const won = (sets[s] as number[]).reduce((n, e) => n + (open.has(e) ? 1 : 0), 0);
      if (won > most) [best, most] = [s, won];
    }
    for (const e of sets[best] as number[]) open.delete(e);
    chosen.push(best);
  }
  return chosen;
}
