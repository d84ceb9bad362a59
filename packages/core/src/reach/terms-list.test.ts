import { compile, type Terms } from '@fillwright/core/decide';
import { emptyFleet, newRow, stretchesOf, WEEK_MINUTES, within } from '@fillwright/core/fleet';
import type { ZoneTable } from '@fillwright/core/units';
import { describe, expect, it } from 'vitest';
import { seeded } from '../../test/small-world.ts';
import { Book, SHUT, stretchAt } from './steps.ts';
import { roomOf, termsLists } from './terms-list.ts';

const UTC: ZoneTable = { zone: 'UTC', at: [Number.NEGATIVE_INFINITY], offsetMin: [0] };
const HOUR = 240;
const GRID = Array.from({ length: WEEK_MINUTES / HOUR }, (_, n) => n * HOUR);
const PLACES = [0, 1, 2].flatMap((site) => [0, 1, 2].map((product) => ({ site, product })));

/** Allowances over three sites and three products, as a policy has them: of few sizes, so that many are equal. */
function someTerms(seed: number): { terms: Terms[]; random: () => number } {
  const random = seeded(seed);
  const below = (n: number) => Math.floor(random() * n);
  const ids = [0, 1, 2];
  const size = () => (random() < 0.4 ? (1 + below(3)) * 1_000_000 : null);
  const held = Array.from({ length: 7 }, (_, n) => `a${n}`);
  const allowances = held.map((id) =>
    newRow('allowances', {
      id,
      name: id,
      products: ids.filter(() => random() < 0.6).map((p) => `p${p}`),
      sites: random() < 0.4 ? null : ids.filter(() => random() < 0.6).map((s) => `s${s}`),
      perFill: size(),
      perDay: size(),
      perWeek: size(),
      perMonth: size(),
      fillsPerDay: random() < 0.2 ? below(2) : null,
      times:
        random() < 0.3
          ? null
          : [1, 2].map(() => ({
              days: [0, 1, 2, 3, 4, 5, 6].filter(() => random() < 0.5),
              from: below(6) * HOUR,
              to: below(7) * HOUR,
            })),
    }),
  );
  const rows = <T extends { readonly id: string }>(list: readonly T[]) => new Map(list.map((row) => [row.id, row]));
  const fleet = {
    ...emptyFleet({ name: 'Small', units: 'us', currency: 'USD' }),
    products: rows(ids.map((n) => newRow('products', { id: `p${n}`, name: `p${n}` }))),
    sites: rows(ids.map((n) => newRow('sites', { id: `s${n}`, name: `s${n}`, zone: 'UTC' }))),
    // A policy numbers the products that hoses give.
    hoses: rows(ids.map((n) => newRow('hoses', { id: `h${n}`, site: `s${n}`, product: `p${n}` }))),
    allowances: rows(allowances),
    drivers: rows([newRow('drivers', { id: 'd', name: 'd', allowances: held })]),
  };
  const policy = compile(fleet, () => UTC);
  return { terms: [...(policy.drivers.get('d')?.terms ?? [])], random };
}

/** SPEC D18: the least of its limits, the first of them where two are as low; no fill a day is nothing at all. */
function leastOf({ row }: Terms): { room: number; rule: string } {
  if (row.fillsPerDay === 0) return { room: 0, rule: 'fills-per-day' };
  const limits = [
    { room: row.perFill, rule: 'per-fill' },
    { room: row.perDay, rule: 'per-day' },
    { room: row.perWeek, rule: 'per-week' },
    { room: row.perMonth, rule: 'per-month' },
  ].flatMap(({ room, rule }) => (room === null ? [] : { room, rule }));
  const [first] = limits.sort((a, b) => a.room - b.room);
  return first ?? { room: Number.MAX_SAFE_INTEGER, rule: 'per-fill' };
}

describe('a list of allowances', () => {
  it('has of each the most in one fill, and the limit that says so', () => {
    for (let seed = 1; seed <= 40; seed++) for (const t of someTerms(seed).terms) expect(roomOf(t)).toEqual(leastOf(t));
  });

  it('lets through at each place and minute the most that one of it does, the first where two are equal', () => {
    let several = 0;
    for (let seed = 1; seed <= 12; seed++) {
      const { terms, random } = someTerms(seed);
      const book = new Book();
      const listOf = termsLists(book);
      const lists = [[], ...Array.from({ length: 6 }, () => terms.filter(() => random() < 0.5))];
      // In any order, and each more than once.
      const asked = [...PLACES, ...PLACES].sort(() => random() - 0.5);
      for (const { site, product } of asked) {
        for (const own of lists) {
          const list = listOf(own);
          expect(list.terms).toBe(own);
          const steps = list.at(site, product);
          if (own.length === 0) {
            expect(steps).toBe(null);
            continue;
          }
          const covering = own.filter((t) => t.products[product] === 1 && (t.sites === null || t.sites[site] === 1));
          const want = GRID.map((minute) => {
            const ways = covering.map((t) => {
              const open = within(stretchesOf(t.row.times), minute);
              const { room, rule } = open ? leastOf(t) : { room: SHUT, rule: 'allowance-time' };
              return { room, rule, allowance: t.row.id };
            });
            const [best] = ways.sort((a, b) => b.room - a.room);
            return best ?? { room: SHUT, rule: 'allowance', allowance: null };
          });
          const got = GRID.map((minute) => {
            const n = steps ? stretchAt(steps, minute) : -1;
            return { room: steps?.room[n], ...book.reasons[steps?.why[n] as number] };
          });
          expect(got).toEqual(want);
          if (covering.length > 2) several++;
          const from = steps?.from ?? [];
          expect(from.every((at, n) => at < WEEK_MINUTES && (n === 0 ? at === 0 : at > (from[n - 1] as number)))).toBe(
            true,
          );
          expect(list.at(site, product)).toBe(steps);
        }
      }
    }
    expect(several).toBeGreaterThan(50);
  });
});
