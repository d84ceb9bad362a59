import type { Fleet } from '../fleet/index.ts';
import type { Check, Found, RecordRef, Severity } from './check.ts';
import { CHECKS } from './checks/index.ts';
import { contextOf } from './context.ts';

export interface Finding extends Found {
  /** The code and the records: the same finding keeps its id while names, figures and other records change. */
  readonly id: string;
  readonly code: Check['code'];
  readonly severity: Severity;
  readonly title: string;
  readonly reason: string;
  readonly mend: string;
  readonly source: string;
}

export interface FindingsOptions {
  /** Days since 1970-01-01; without it nothing is said of what is past. */
  readonly today?: number;
}

const ORDER: Readonly<Record<Severity, number>> = { error: 0, warning: 1, note: 2 };
const refText = (r: RecordRef): string => `${r.table}/${r.id}${r.field === undefined ? '' : `.${r.field}`}`;

const BY_SEVERITY = CHECKS.toSorted((a, b) => ORDER[a.severity] - ORDER[b.severity] || (a.code < b.code ? -1 : 1));

/** Everything that the checks find in a fleet, errors first, then by code, then by record. Pure; never throws on a fleet that was read. */
export function findings(fleet: Fleet, options: FindingsOptions = {}): Finding[] {
  const ctx = contextOf(fleet, options.today);
  return BY_SEVERITY.flatMap(({ find, ...check }) => {
    const found: Finding[] = [];
    for (const one of find(ctx))
      found.push({ ...check, ...one, id: `${check.code}:${one.on.map(refText).sort().join('+')}` });
    return found.sort((a, b) => (a.id < b.id ? -1 : a.id > b.id ? 1 : 0));
  });
}
