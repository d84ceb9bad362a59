import type { TableName } from '@fillwright/core/fleet';
import { useNavigate, useSearch } from '@tanstack/react-router';
import { useCallback } from 'react';

export { nameOf } from './name-of.ts';

/** The part of the address after '?': plain texts by name. */
export type Search = Readonly<Record<string, string | undefined>>;

const PAGES: Readonly<Record<TableName, '/roster' | '/policy' | '/sheet' | '/expectations'>> = {
  drivers: '/roster',
  vehicles: '/roster',
  credentials: '/roster',
  allowances: '/policy',
  questions: '/policy',
  prices: '/policy',
  costCentres: '/policy',
  products: '/policy',
  sites: '/sheet',
  islands: '/sheet',
  tanks: '/sheet',
  pumps: '/sheet',
  terminals: '/sheet',
  hoses: '/sheet',
  expectations: '/expectations',
};

/** Where a record is shown, to be spread into a link; `field` names the field to look at. */
export function placeOf(table: TableName, id: string, field?: string): { to: string; search: Search } {
  return { to: PAGES[table], search: { show: table, id, ...(field === undefined ? {} : { field }) } };
}

/** The address's search texts, and a way to change some of them in place (undefined takes one away). */
export function useWhere(): [Search, (change: Search) => void] {
  const search = useSearch({ strict: false }) as Search;
  const navigate = useNavigate();
  const change = useCallback(
    (part: Search) => {
      void navigate({ to: '.', replace: true, search: ((old: Search) => cleaned({ ...old, ...part })) as never });
    },
    [navigate],
  );
  return [search, change];
}

const cleaned = (search: Search): Search =>
  Object.fromEntries(Object.entries(search).filter(([, v]) => v !== undefined));

/** Searches are read and written as plain texts: '?id=0012' stays '0012'. */
export const parseSearch = (text: string): Search => Object.fromEntries(new URLSearchParams(text));

export function writeSearch(search: Record<string, unknown>): string {
  const query = new URLSearchParams();
  for (const [key, value] of Object.entries(search)) if (value !== undefined) query.set(key, String(value));
  return query.size > 0 ? `?${query}` : '';
}
