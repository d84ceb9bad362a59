import type { Terms } from '../decide/index.ts';
import { stretchesOf, WEEK_MINUTES } from '../fleet/index.ts';
import { type Book, SHUT, type Steps } from './steps.ts';

/** An ordered list of allowances, with what it lets through at each site and for each product: null where it is silent. */
export interface TermsList {
  readonly terms: readonly Terms[];
  at(site: number, product: number): Steps | null;
}

/** Most that an allowance lets through in one fill when nothing was drawn before, and the rule that says so (SPEC D18). */
export function roomOf(terms: Terms): { room: number; rule: string } {
  const { row } = terms;
  let room = Number.MAX_SAFE_INTEGER;
  let rule = 'per-fill';
  if (row.fillsPerDay === 0) [room, rule] = [0, 'fills-per-day'];
  const rules = [
    [row.perFill, 'per-fill'],
    [row.perDay, 'per-day'],
    [row.perWeek, 'per-week'],
    [row.perMonth, 'per-month'],
  ] as const;
  for (const [most, name] of rules) if (most !== null && most < room) [room, rule] = [most, name];
  return { room, rule };
}

/** Step functions of lists of allowances, each different fitting list worked out once. */
export function termsLists(book: Book): (terms: readonly Terms[]) => TermsList {
  const single = new Map<Terms, Steps>();
  const shut = book.level(SHUT, book.reason('allowance', null));
  const stepsOf = (terms: Terms): Steps => {
    let steps = single.get(terms);
    if (!steps) {
      const { room, rule } = roomOf(terms);
      const why = book.reason(rule, terms.row.id);
      const shutWhy = book.reason('allowance-time', terms.row.id);
      const from: number[] = [];
      const rooms: number[] = [];
      const whys: number[] = [];
      const put = (at: number, r: number, w: number) => {
        if (at >= WEEK_MINUTES) return;
        if (from.at(-1) === at) {
          rooms[rooms.length - 1] = r;
          whys[whys.length - 1] = w;
          return;
        }
        from.push(at);
        rooms.push(r);
        whys.push(w);
      };
      put(0, SHUT, shutWhy);
      for (const s of stretchesOf(terms.row.times)) {
        put(s.from, room, why);
        put(s.to, SHUT, shutWhy);
      }
      steps = book.keep(from, rooms, whys);
      single.set(terms, steps);
    }
    return steps;
  };
  // Whoever asks mostly asks all lists about one place: what covers it is found once an allowance. Even where it covers, odd where not.
  const numbers = new Map<Terms, number>();
  const covers: number[] = [];
  let asked = 0;
  let [siteAsked, productAsked] = [-1, -1];
  const known = new Map<readonly Terms[], TermsList>();
  return (terms) => {
    let list = known.get(terms);
    if (!list) {
      // By which of the allowances cover the place: a bit each. Exact up to 53 of them, far more than anybody holds.
      let fitting: Map<number, Steps> | null = null;
      // Most hold one or two.
      const few: Steps[] = [shut];
      const own = terms.map((t) => numbers.get(t) ?? numbers.set(t, numbers.size).size - 1);
      list = {
        terms,
        at: (site, product) => {
          if (terms.length === 0) return null;
          if (site !== siteAsked || product !== productAsked) {
            [siteAsked, productAsked] = [site, product];
            asked += 2;
          }
          let which = 0;
          let bit = 1;
          for (let n = 0; n < own.length; n++) {
            const number = own[n] as number;
            let cover = covers[number];
            if (cover === undefined || cover < asked) {
              const t = terms[n] as Terms;
              cover = t.products[product] === 1 && (t.sites === null || t.sites[site] === 1) ? asked : asked + 1;
              covers[number] = cover;
            }
            if (cover === asked) which += bit;
            bit *= 2;
          }
          let steps = which < 4 ? few[which] : fitting?.get(which);
          if (!steps) {
            for (const [n, t] of terms.entries()) {
              if (Math.floor(which / 2 ** n) % 2 === 1) steps = steps ? book.most(steps, stepsOf(t)) : stepsOf(t);
            }
            if (which < 4) few[which] = steps as Steps;
            else {
              fitting ??= new Map();
              fitting.set(which, steps as Steps);
            }
          }
          return steps as Steps;
        },
      };
      known.set(terms, list);
    }
    return list;
  };
}
