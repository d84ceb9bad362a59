import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { readWiring } from '../src/index.ts';
import { wiringPage } from './wiring-page.ts';

it('is the reference page of the wiring file', async () => {
  await expect(wiringPage()).toMatchFileSnapshot('../../../docs/reference/wiring.md');
});

it('reads the example of the howto', () => {
  const page = readFileSync(new URL('../../../docs/howto/wire-a-modbus-unit.md', import.meta.url), 'utf8');
  const example = /```json\n([\s\S]*?)```/.exec(page)?.[1] ?? '';
  expect(readWiring(example)).toMatchObject({ ok: true });
});
