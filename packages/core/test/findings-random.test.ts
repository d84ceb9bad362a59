import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { findings } from '../src/findings/index.ts';
import { referencesOf, rowsOf, TABLE_NAMES } from '../src/fleet/index.ts';
import { fleetArbitrary } from './fleet-arbitrary.ts';

// One seed: what fails here fails for everybody.
fc.configureGlobal({ seed: 20_261_125 });
const anyFleet = fleetArbitrary();

describe('on any fleet that was read', () => {
  it('never throws, gives every finding its own id, and speaks first of a record that stands', () => {
    fc.assert(
      fc.property(anyFleet, fc.integer({ min: 0, max: 40_000 }), (fleet, today) => {
        const all = findings(fleet, { today });
        expect(new Set(all.map((f) => f.id)).size).toBe(all.length);
        for (const f of all) {
          const first = f.on[0];
          expect(first && rowsOf(fleet, first.table).has(first.id)).toBe(true);
        }
      }),
      { numRuns: 100 },
    );
  });

  it('finds a dangling reference exactly where there is one', () => {
    fc.assert(
      fc.property(anyFleet, (fleet) => {
        const dangling = new Set<string>();
        for (const table of TABLE_NAMES)
          for (const row of rowsOf(fleet, table).values())
            for (const ref of referencesOf(table, row))
              if (!rowsOf(fleet, ref.to).has(ref.id))
                dangling.add(`${table}/${row.id}.${ref.field}>${ref.to}/${ref.id}`);
        const found = findings(fleet)
          .filter((f) => f.code === 'F101')
          .map((f) => `${f.on[0]?.table}/${f.on[0]?.id}.${f.on[0]?.field}>${f.on[1]?.table}/${f.on[1]?.id}`);
        expect(found.sort()).toEqual([...dangling].sort());
      }),
      { numRuns: 60 },
    );
  });

  it('finds the same whatever the order of the rows', () => {
    fc.assert(
      fc.property(anyFleet, (fleet) => {
        const turned = {
          ...fleet,
          ...Object.fromEntries(TABLE_NAMES.map((t) => [t, new Map([...rowsOf(fleet, t)].reverse())])),
        } as typeof fleet;
        expect(findings(turned, { today: 20_000 }).map((f) => f.id)).toEqual(
          findings(fleet, { today: 20_000 }).map((f) => f.id),
        );
      }),
      { numRuns: 40 },
    );
  });
});
