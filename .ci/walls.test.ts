import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { impurities } from './purity.ts';
import { breaches } from './walls.ts';

/** Plants one breach of each kind and sees that the check speaks up: a check that cannot fail proves nothing. */
const CORE = 'packages/core/src/units/planted-breach';
const DESK = 'apps/desk/src/planted-breach';

beforeAll(() => {
  for (const folder of [CORE, DESK]) mkdirSync(folder, { recursive: true });
  writeFileSync(
    `${CORE}/planted.ts`,
    "import { applyEdits } from '../../fleet/index.ts';\nexport const now = () => [Date.now(), applyEdits];\n",
  );
  writeFileSync(
    `${DESK}/planted.ts`,
    "export { call } from '@fillwright/wire';\nexport { openJournal } from '../../../../packages/journal/src/index.ts';\n",
  );
});
afterAll(() => {
  for (const folder of [CORE, DESK]) rmSync(folder, { recursive: true, force: true });
});

describe('walls', () => {
  it('a planted import across a wall is found, and one that is allowed is not', async () => {
    const { found } = await breaches([CORE, DESK]);
    expect(found.map((b) => b.rule)).toContain('core-units');
    expect(found.map((b) => b.rule)).toContain('apps-desk');
    expect(found.filter((b) => b.to.includes('packages/wire') && b.from.startsWith(DESK))).toEqual([]);
  });

  it('a clock in core is found', () => {
    const found = impurities(CORE, () => 'export const a = () => Date.now();\n');
    expect(found).toEqual([{ file: `${CORE}/planted.ts`, line: 1, what: 'Date.now' }]);
  });
});
