import { z } from 'zod';
import { settingsSchema } from './fleet.ts';
import { TABLE_NAMES, TABLES } from './tables.ts';

/** Control characters spelt out: not every validator knows Unicode classes in patterns. */
const CONTROL_CLASS = '\\p{Cc}';
const CONTROL_RANGES = '\\u0000-\\u001f\\u007f-\\u009f';

/**
 * JSON Schema (draft 2020-12) of a fleet's JSON form, made from the schemas that check it, with each field's label, kind, starting value
 * and reason. It describes rows one by one: that ids are unique and that references lead somewhere is for `fromJson` and the findings.
 */
export function fleetJsonSchema(): Record<string, unknown> {
  const tables = Object.fromEntries(TABLE_NAMES.map((table) => [table, z.array(TABLES[table].row).optional()]));
  const schema = z.strictObject({ settings: settingsSchema, ...tables }).meta({
    title: 'Fleet',
    description:
      'What a fleet declares. Volumes are whole microlitres, flows microlitres a minute, money 1/10,000 of the currency unit.',
  });
  return z.toJSONSchema(schema, {
    target: 'draft-2020-12',
    io: 'input',
    unrepresentable: 'any',
    override: ({ jsonSchema }) => {
      if (jsonSchema.pattern) jsonSchema.pattern = jsonSchema.pattern.replaceAll(CONTROL_CLASS, CONTROL_RANGES);
    },
  }) as Record<string, unknown>;
}
