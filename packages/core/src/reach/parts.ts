import type { Terms } from '../decide/index.ts';
import { type Stretch, stretchesOf, WEEK_MINUTES } from '../fleet/index.ts';

/** The week in parts on which no window of a set opens or shuts; a part need not be in one piece. */
export interface Parts {
  readonly count: number;
  /** A minute of the week in each part. */
  readonly minute: readonly number[];
  /** Minutes of each part on each day of the week, seven a part, Monday first. */
  readonly minutes: Float64Array;
  readonly stretches: readonly (readonly Stretch[])[];
}

/** Windows by number, and the parts into which sets of them cut the week: each different set once. */
export class WeekParts {
  private readonly windows: (readonly Stretch[])[] = [];
  private readonly byText = new Map<string, number>();
  private readonly byTerms = new Map<Terms, number>();
  private readonly made = new Map<string, Parts>();

  windowOf(terms: Terms): number {
    let n = this.byTerms.get(terms);
    if (n === undefined) {
      const stretches = stretchesOf(terms.row.times);
      const text = stretches.map((s) => `${s.from}-${s.to}`).join();
      n = this.byText.get(text) ?? this.windows.push(stretches) - 1;
      this.byText.set(text, n);
      this.byTerms.set(terms, n);
    }
    return n;
  }

  of(windows: ReadonlySet<number>): Parts {
    const list = [...windows].sort((a, b) => a - b);
    const key = list.join();
    let parts = this.made.get(key);
    if (!parts) {
      parts = cut(list.map((n) => this.windows[n] as readonly Stretch[]));
      this.made.set(key, parts);
    }
    return parts;
  }
}

function cut(windows: readonly (readonly Stretch[])[]): Parts {
  const edges = new Set([0]);
  for (const w of windows) for (const s of w) edges.add(s.from).add(s.to);
  const from = [...edges].filter((m) => m < WEEK_MINUTES).sort((a, b) => a - b);
  const at = windows.map(() => 0);
  const stretches = new Map<string, Stretch[]>();
  for (const [i, start] of from.entries()) {
    let like = '';
    for (const [n, w] of windows.entries()) {
      while (at[n] !== w.length && (w[at[n] as number] as Stretch).to <= start) at[n] = (at[n] as number) + 1;
      const next = w[at[n] as number];
      like += next && next.from <= start ? '1' : '0';
    }
    const stretch = { from: start, to: from[i + 1] ?? WEEK_MINUTES };
    const list = stretches.get(like);
    if (list) list.push(stretch);
    else stretches.set(like, [stretch]);
  }
  return partsOf([...stretches.values()]);
}

/** What of the parts lies within a stretch of the week; parts that have no minute in it are left out. */
export function clipped({ stretches }: Parts, within: Stretch): Parts {
  const inside = (list: readonly Stretch[]) =>
    list
      .map(({ from, to }) => ({ from: Math.max(from, within.from), to: Math.min(to, within.to) }))
      .filter(({ from, to }) => from < to);
  return partsOf(stretches.map(inside).filter((list) => list.length > 0));
}

function partsOf(lists: readonly (readonly Stretch[])[]): Parts {
  const minutes = new Float64Array(lists.length * 7);
  for (const [n, list] of lists.entries()) {
    for (const s of list) {
      for (let w = Math.floor(s.from / 1440); w * 1440 < s.to; w++)
        minutes[n * 7 + w] =
          (minutes[n * 7 + w] as number) + Math.min(s.to, (w + 1) * 1440) - Math.max(s.from, w * 1440);
    }
  }
  return { count: lists.length, minute: lists.map((l) => (l[0] as Stretch).from), minutes, stretches: lists };
}
