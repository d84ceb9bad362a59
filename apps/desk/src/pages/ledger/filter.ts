import type { FillFilter } from '@fillwright/wire';
import { dayStart, nextDate } from '../../show/site-time.ts';

type Search = Readonly<Record<string, string | undefined>>;
export type Wish = Partial<Omit<FillFilter, 'before' | 'limit'>>;

const FILTERS = ['site', 'driver', 'vehicle', 'product', 'costCentre'] as const;

/** The filter that the address names; dates are whole days of `zone`, both included. Dates that do not exist are left out. */
export function wishOf(where: Search, zone: string): Wish {
  const wish: Record<string, string | number> = {};
  for (const key of FILTERS) {
    const value = where[key];
    if (value) wish[key] = value;
  }
  const text = where.text?.trim();
  if (text) wish.text = text.slice(0, 100);
  const from = where.from ? dayStart(where.from, zone) : undefined;
  const after = where.to ? dayStart(nextDate(where.to), zone) : undefined;
  if (from !== undefined) wish.from = from;
  if (after !== undefined && where.to && dayStart(where.to, zone) !== undefined) wish.to = after - 1;
  return wish;
}

export const isFiltered = (where: Search): boolean =>
  [...FILTERS, 'text', 'from', 'to'].some((key) => Boolean(where[key]));
