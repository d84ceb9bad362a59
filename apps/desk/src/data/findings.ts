import { type Finding, findings } from '@fillwright/core/findings';
import type { Fleet, TableName } from '@fillwright/core/fleet';
import { parseDate } from '@fillwright/core/units';
import { useDeferredValue } from 'react';
import { useToday } from './clock.ts';
import { useDraftState } from './draft.ts';

export type { Finding };

const known = new WeakMap<Fleet, { today: string; found: readonly Finding[] }>();
const NONE: readonly Finding[] = [];

function findingsOf(fleet: Fleet, today: string): readonly Finding[] {
  const had = known.get(fleet);
  if (had?.today === today) return had.found;
  const day = parseDate(today);
  const found = findings(fleet, day === undefined ? {} : { today: day });
  known.set(fleet, { today, found });
  return found;
}

/** The findings of the draft; computed once for each state of it, a moment behind typing. */
export function useFindings(): readonly Finding[] {
  const { fleet } = useDraftState();
  const later = useDeferredValue(fleet);
  const today = useToday();
  return later ? findingsOf(later, today) : NONE;
}

const placed = new WeakMap<readonly Finding[], Map<string, Finding[]>>();

/** The findings that speak of one record. */
export function findingsAt(all: readonly Finding[], table: TableName, id: string): readonly Finding[] {
  let index = placed.get(all);
  if (!index) {
    index = new Map();
    for (const finding of all) {
      for (const key of new Set(finding.on.map((r) => `${r.table}/${r.id}`))) {
        const had = index.get(key);
        if (had) had.push(finding);
        else index.set(key, [finding]);
      }
    }
    placed.set(all, index);
  }
  return index.get(`${table}/${id}`) ?? NONE;
}
