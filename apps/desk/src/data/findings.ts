import type { Fleet, TableName } from '@fillwright/core/fleet';
import { useDeferredValue } from 'react';
import { useToday } from './clock.ts';
import { useDraftState } from './draft.ts';

export interface Finding {
  readonly id: string;
  readonly code: string;
  readonly severity: 'error' | 'warning' | 'note';
  readonly title: string;
  readonly text: string;
  readonly mend: string;
  readonly at: readonly { readonly table: TableName; readonly id: string; readonly field?: string }[];
}

const findings = (_fleet: Fleet, _now: { today: string }): readonly Finding[] => [];

const known = new WeakMap<Fleet, { today: string; found: readonly Finding[] }>();
const NONE: readonly Finding[] = [];

function findingsOf(fleet: Fleet, today: string): readonly Finding[] {
  const had = known.get(fleet);
  if (had?.today === today) return had.found;
  const found = findings(fleet, { today });
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

/** The findings that speak of one record. */
export const findingsAt = (all: readonly Finding[], table: TableName, id: string): readonly Finding[] =>
  all.filter((f) => f.at.some((place) => place.table === table && place.id === id));
