import { readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { fleetJsonSchema } from '../src/fleet/json-schema.ts';

/** The published schema. Run as a program, this writes it anew. */
export const SCHEMA_FILE = fileURLToPath(new URL('../../../docs/reference/fleet.schema.json', import.meta.url));
export const schemaText = (): string => `${JSON.stringify(fleetJsonSchema(), null, 2)}\n`;
export const publishedText = (): string => readFileSync(SCHEMA_FILE, 'utf8');

if (process.argv[1] === fileURLToPath(import.meta.url)) writeFileSync(SCHEMA_FILE, schemaText());
