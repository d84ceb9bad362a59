import fc from 'fast-check';
import { expect, test } from 'vitest';
import { applyEdits, canonicalFleet, editsBetween, fromJson, TABLE_NAMES, toJson } from '../src/fleet/index.ts';
import { fleetArbitrary } from './fleet-arbitrary.ts';

test('random fleets survive their JSON form and lead to each other by edits', () => {
  fc.assert(
    fc.property(fleetArbitrary(), fleetArbitrary(), (a, b) => {
      const back = fromJson(JSON.parse(JSON.stringify(toJson(a))));
      expect(back.ok && canonicalFleet(back.value)).toBe(canonicalFleet(a));
      const moved = applyEdits(a, editsBetween(a, b));
      expect(moved.ok && canonicalFleet(moved.value)).toBe(canonicalFleet(b));
    }),
    { numRuns: 30, seed: 20_261 },
  );
});

test('random fleets reach every table, null beside empty lists, and references that point nowhere', () => {
  const seen = new Set<string>();
  for (const fleet of fc.sample(fleetArbitrary(), { numRuns: 60, seed: 7 }))
    for (const table of TABLE_NAMES)
      for (const row of fleet[table].values()) {
        seen.add(table);
        if ('sites' in row && row.sites === null) seen.add('null');
        if ('sites' in row && row.sites?.length === 0) seen.add('empty');
        if (table === 'tanks' && 'site' in row && !fleet.sites.has(row.site ?? '')) seen.add('nowhere');
      }
  expect([...seen].sort()).toEqual([...TABLE_NAMES, 'null', 'empty', 'nowhere'].sort());
});
