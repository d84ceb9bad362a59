import fc from 'fast-check';
import { expect, test } from 'vitest';
import { z } from 'zod';
import { toJson } from '../src/fleet/index.ts';
import { fleetJsonSchema } from '../src/fleet/json-schema.ts';
import { fleetArbitrary } from './fleet-arbitrary.ts';
import { publishedText, schemaText } from './schema-file.ts';

test('the published schema is the one that the code has (npm run docs:schema writes it)', () => {
  expect(publishedText()).toBe(schemaText());
});

test('the schema read back takes every fleet and refuses a wrong one', () => {
  const schema = z.fromJSONSchema(JSON.parse(JSON.stringify(fleetJsonSchema())));
  fc.assert(
    fc.property(fleetArbitrary(2), (fleet) => {
      expect(schema.safeParse(JSON.parse(JSON.stringify(toJson(fleet)))).success).toBe(true);
    }),
    { numRuns: 20, seed: 11 },
  );
  const settings = { name: 'a', units: 'us', currency: 'USD' };
  expect(schema.safeParse({ settings }).success).toBe(true);
  expect(schema.safeParse({ settings: { ...settings, units: 'cups' } }).success).toBe(false);
  expect(schema.safeParse({ settings, drivers: [{ id: 'a' }] }).success).toBe(false);
  expect(schema.safeParse({ settings, more: [] }).success).toBe(false);
});
