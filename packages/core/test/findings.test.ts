import { describe, expect, it } from 'vitest';
import { CHECKS, findings, findingsReference } from '../src/findings/index.ts';
import type { Edit } from '../src/fleet/index.ts';
import { dayOfDate } from '../src/units/index.ts';
import { planted } from './findings-planted.ts';
import { put, set, yard } from './yard.ts';

const today = dayOfDate(2026, 6, 1);
const codesOf = (...edits: Edit[]) => new Set(findings(yard(...edits), { today }).map((f) => f.code));

describe('the findings', () => {
  it('has nothing to say of a clean yard', () => {
    expect(findings(yard(), { today })).toEqual([]);
    expect(findings(yard())).toEqual([]);
  });

  it('has a planted case for every check, and no other', () => {
    expect(Object.keys(planted).sort()).toEqual(CHECKS.map((c) => c.code));
  });

  it.each(CHECKS.map((c) => [c.code, c] as const))('%s is found where it is planted, and only then', (code, check) => {
    const plant = planted[code];
    if (!plant) throw new Error('no planted case');
    const before = codesOf(...(plant.before ?? []));
    expect(before.has(code), 'without the fault').toBe(false);
    const after = codesOf(...(plant.before ?? []), ...plant.fault);
    expect([...after].filter((c) => !before.has(c)).sort()).toEqual([code, ...(plant.also ?? [])].sort());
    const found = findings(yard(...(plant.before ?? []), ...plant.fault), { today }).filter((f) => f.code === code);
    for (const f of found) {
      expect(f.on.length).toBeGreaterThan(0);
      expect(f.text).toMatch(/\S/);
      expect(f).toMatchObject({
        severity: check.severity,
        reason: check.reason,
        mend: check.mend,
        source: check.source,
      });
    }
    expect(found.map((f) => f.on[0]?.id)).toContain(plant.on);
  });

  it('puts errors first, then by code and record, each with an id of its own', () => {
    const edits = CHECKS.flatMap((c) => planted[c.code]?.fault ?? []).filter((e) => e.op === 'put');
    const all = findings(yard(...edits), { today });
    expect(all.length).toBeGreaterThan(10);
    const rank = { error: 0, warning: 1, note: 2 };
    const keys = all.map((f) => `${rank[f.severity]}${f.code}`);
    expect(keys).toEqual([...keys].sort());
    expect(new Set(all.map((f) => f.id)).size).toBe(all.length);
  });

  it('keeps the id of a finding when names and other records change', () => {
    const fault = set('hoses', 'hose-2', { flow: 50_000_000 });
    const id = (...more: Edit[]) => findings(yard(fault, ...more)).find((f) => f.code === 'F107')?.id;
    expect(id()).toBe('F107:hoses/hose-2.flow');
    expect(id(set('sites', 'north', { name: 'Upper yard' }), put('drivers', { id: 'd-9', name: 'Ash' }))).toBe(id());
  });

  it('says nothing of what is past when no date is known', () => {
    const fault = set('credentials', 'c-1', { validUntil: '2020-01-01' });
    expect(findings(yard(fault)).map((f) => f.code)).not.toContain('F229');
  });

  it('takes a batch of cards without check digits as one matter', () => {
    const batch = Array.from({ length: 30 }, (_, i) =>
      put('credentials', { id: `k-${i}`, number: String(5_000_000_000_000 + i), driver: 'd-1' }),
    );
    const found = findings(yard(...batch)).filter((f) => f.code === 'F207');
    expect(found.map((f) => f.facts)).toEqual([{ failing: 27, cards: 30 }]);
  });

  it('takes ids that an object has by birth for what they are', () => {
    const fleet = yard(set('drivers', 'd-1', { allowances: ['constructor'] }));
    expect(findings(fleet).map((f) => f.code)).toContain('F101');
  });

  it('is the reference page', async () => {
    await expect(findingsReference()).toMatchFileSnapshot('../../../docs/reference/findings.md');
  });
});

describe('the words of a check', () => {
  it.each(CHECKS.map((c) => [c.code, c] as const))('%s has title, reason, mend and source', (_, c) => {
    expect(c.title).toMatch(/^\p{Lu}.*[^.]$/u);
    expect(c.reason).toMatch(/\.$/);
    expect(c.mend).toMatch(/\.$/);
    expect(c.source).toMatch(/\S/);
  });
});
