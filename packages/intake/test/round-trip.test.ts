import { applyEdits, canonicalFleet, emptyFleet, type Fleet } from '@fillwright/core/fleet';
import { fleetArbitrary } from '@fillwright/core/test/fleet-arbitrary.ts';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type RawIntake, readIntakeHere, toCsvFiles, toFleet, toWorkbook } from '../src/index.ts';

const BLANK = emptyFleet({ name: 'blank', units: 'us', currency: 'USD' });

function imported(raw: RawIntake, base: Fleet): string {
  expect(raw.problems).toEqual([]);
  const result = toFleet(raw.sheets, base);
  expect(result.problems).toEqual([]);
  const fleet = applyEdits(base, [...result.edits]);
  if (!fleet.ok) throw new Error(JSON.stringify(fleet.error));
  return canonicalFleet(fleet.value);
}

const csvInput = (fleet: Fleet) =>
  toCsvFiles(fleet).map((file) => ({ name: file.name, bytes: new TextEncoder().encode(file.text) }));

test('a fleet comes back from its CSV files to the byte', async () => {
  await fc.assert(
    fc.asyncProperty(fleetArbitrary(), async (fleet) => {
      const raw = await readIntakeHere(csvInput(fleet));
      if (!raw.ok) throw new Error(JSON.stringify(raw.error));
      expect(imported(raw.value, BLANK)).toBe(canonicalFleet(fleet));
    }),
    { numRuns: 100, seed: 20_261 },
  );
});

test('a fleet comes back from its workbook to the byte', async () => {
  await fc.assert(
    fc.asyncProperty(fleetArbitrary(2), async (fleet) => {
      const raw = await readIntakeHere([{ name: 'fleet.xlsx', bytes: await toWorkbook(fleet) }]);
      if (!raw.ok) throw new Error(JSON.stringify(raw.error));
      expect(imported(raw.value, BLANK)).toBe(canonicalFleet(fleet));
    }),
    { numRuns: 100, seed: 20_261 },
  );
});
