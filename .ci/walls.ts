import { readFileSync } from 'node:fs';
import { cruise } from 'dependency-cruiser';
import extractTSConfig from 'dependency-cruiser/config-utl/extract-ts-config';
import config from '../.dependency-cruiser.mjs';
import { impurities } from './purity.ts';

/** Checks the walls of the house and the purity of core; prints each breach and fails on any. */

export interface Breach {
  readonly rule: string;
  readonly from: string;
  readonly to: string;
}

export async function breaches(paths: readonly string[]): Promise<{ found: Breach[]; modules: number }> {
  const { options, forbidden } = config as { options: object; forbidden: object[] };
  const result = await cruise(
    [...paths],
    { ...options, validate: true, ruleSet: { forbidden: forbidden as never } },
    undefined,
    { tsConfig: extractTSConfig('tsconfig.json') },
  );
  const output = result.output as {
    summary: { violations: { rule: { name: string }; from: string; to: string }[]; totalCruised: number };
  };
  const found = output.summary.violations.map((v) => ({ rule: v.rule.name, from: v.from, to: v.to }));
  return { found, modules: output.summary.totalCruised };
}

if (process.argv[1]?.endsWith('walls.ts')) {
  const { found, modules } = await breaches(['packages', 'apps']);
  for (const b of found) console.error(`wall ${b.rule}: ${b.from} imports ${b.to}`);
  const impure = impurities('packages/core/src', (path) => readFileSync(path, 'utf8'));
  for (const i of impure) console.error(`core is pure: ${i.file}:${i.line} uses ${i.what}`);
  if (modules < 50) console.error(`only ${modules} files were looked at: the check itself is broken`);
  if (found.length > 0 || impure.length > 0 || modules < 50) process.exit(1);
  console.log(`walls hold over ${modules} files`);
}
