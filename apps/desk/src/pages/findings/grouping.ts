import type { Finding } from '@fillwright/core/findings';

export type Severity = Finding['severity'];
export const SEVERITIES: readonly Severity[] = ['error', 'warning', 'note'];

export interface Filter {
  readonly severity?: Severity | undefined;
  readonly site?: string | undefined;
  readonly text?: string | undefined;
}

/** Findings of one check stand together, those of one severity too: errors, warnings, notes. */
export interface Group {
  readonly severity: Severity;
  readonly checks: readonly { readonly code: string; readonly findings: readonly Finding[] }[];
  readonly count: number;
}

export function filtered(
  all: readonly Finding[],
  filter: Filter,
  siteOf: (f: Finding) => ReadonlySet<string>,
): Finding[] {
  const words = (filter.text ?? '').trim().toLowerCase().split(/\s+/).filter(Boolean);
  return all.filter((f) => {
    if (filter.severity && f.severity !== filter.severity) return false;
    if (filter.site && !siteOf(f).has(filter.site)) return false;
    if (words.length === 0) return true;
    const said = `${f.code} ${f.title} ${f.text} ${f.on.map((r) => r.id).join(' ')}`.toLowerCase();
    return words.every((w) => said.includes(w));
  });
}

export function grouped(all: readonly Finding[]): Group[] {
  return SEVERITIES.flatMap((severity) => {
    const own = all.filter((f) => f.severity === severity);
    const codes = [...new Set(own.map((f) => f.code))].sort();
    const checks = codes.map((code) => ({ code, findings: own.filter((f) => f.code === code) }));
    return own.length === 0 ? [] : [{ severity, checks, count: own.length }];
  });
}
