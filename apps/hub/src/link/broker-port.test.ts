import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { keepPort, keptPort } from './broker-port.ts';

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'broker-port-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

it('the broker’s port is the same at the next start, and any free one where none is kept or it cannot be read', () => {
  expect(keptPort(folder)).toBe(0);
  keepPort(folder, 40_123);
  expect(keptPort(folder)).toBe(40_123);
  keepPort(folder, 40_124);
  expect(keptPort(folder)).toBe(40_124);
  writeFileSync(join(folder, 'broker.port'), 'no port');
  expect(keptPort(folder)).toBe(0);
});
