import type { Finding } from '@fillwright/core/findings';
import { expect, it } from 'vitest';
import { filtered, grouped } from './grouping.ts';

const finding = (severity: Finding['severity'], code: Finding['code'], id: string, text = 'x'): Finding => ({
  id: `${code}:${id}`,
  code,
  severity,
  title: `Check ${code}`,
  text,
  reason: '',
  mend: '',
  source: '',
  on: [{ table: 'hoses', id }],
});
const all = [
  finding('note', 'F301', 'a'),
  finding('error', 'F102', 'b'),
  finding('error', 'F101', 'c', 'Hose 7 is odd'),
  finding('error', 'F102', 'd'),
];
const siteOf = (f: Finding) => new Set([f.on[0]?.id === 'b' ? 'north' : 'south']);

it('groups by severity, worst first, then by check; empty groups are left out', () => {
  expect(grouped(all).map((g) => [g.severity, g.count, g.checks.map((c) => `${c.code} ${c.findings.length}`)])).toEqual(
    [
      ['error', 3, ['F101 1', 'F102 2']],
      ['note', 1, ['F301 1']],
    ],
  );
  expect(grouped([])).toEqual([]);
});
it('filters by severity, site and every word', () => {
  expect(filtered(all, { severity: 'note' }, siteOf)).toHaveLength(1);
  expect(filtered(all, { site: 'north' }, siteOf).map((f) => f.id)).toEqual(['F102:b']);
  expect(filtered(all, { text: ' odd hose ' }, siteOf).map((f) => f.id)).toEqual(['F101:c']);
  expect(filtered(all, {}, siteOf)).toHaveLength(4);
});
