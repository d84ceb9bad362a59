import { applyEdits, canonicalFleet, editsBetween, fromJson, invert, toJson } from '@fillwright/core/fleet';
import { fleetArbitrary } from '@fillwright/core/test/fleet-arbitrary.ts';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';

describe('edits', () => {
  it('lead from any fleet to any other, and back', () => {
    fc.assert(
      fc.property(fleetArbitrary(3), fleetArbitrary(3), (from, to) => {
        const edits = editsBetween(from, to);
        const there = applyEdits(from, edits);
        if (!there.ok) throw new Error(JSON.stringify(there.error));
        expect(canonicalFleet(there.value)).toBe(canonicalFleet(to));
        const back = invert(from, edits);
        if (!back.ok) throw new Error(JSON.stringify(back.error));
        const home = applyEdits(there.value, back.value);
        expect(home.ok && canonicalFleet(home.value)).toBe(canonicalFleet(from));
      }),
      { numRuns: 60, seed: 20261125 },
    );
  });
  it('leave nothing half done, and say where each fails', () => {
    fc.assert(
      fc.property(fleetArbitrary(2), (fleet) => {
        const result = applyEdits(fleet, [
          { op: 'put', table: 'costCentres', row: { id: 'new-one', name: 'New', code: '' } },
          { op: 'set', table: 'drivers', id: 'nobody-of-this-id', fields: { name: 'X' } },
          { op: 'put', table: 'products', row: { id: 'Bad Id', name: '', kind: 'soup', short: '' } },
        ]);
        expect(result.ok).toBe(false);
        if (!result.ok) expect(result.error.map((p) => p.at?.in)).toContain('products');
        expect(fleet.costCentres.has('new-one')).toBe(false);
      }),
      { numRuns: 20, seed: 7 },
    );
  });
  it('a fleet comes back from its JSON to the byte', () => {
    fc.assert(
      fc.property(fleetArbitrary(3), (fleet) => {
        const again = fromJson(JSON.parse(JSON.stringify(toJson(fleet))));
        expect(again.ok && canonicalFleet(again.value)).toBe(canonicalFleet(fleet));
      }),
      { numRuns: 60, seed: 3 },
    );
  });
  it('JSON that is not a fleet is refused with places', () => {
    for (const bad of [
      null,
      [],
      5,
      { settings: {} },
      { settings: { name: 'A', units: 'us', currency: 'USD' }, drivers: [{ id: 'a' }] },
      { settings: { name: 'A', units: 'us', currency: 'USD' }, gnomes: [] },
    ]) {
      const result = fromJson(bad);
      expect(result.ok).toBe(false);
      if (!result.ok) for (const p of result.error) expect(p.at).toBeDefined();
    }
  });
});
