import type { Stop } from '@fillwright/wire';
import { expect, it } from 'vitest';
import { stopsUnderWay } from './now.ts';

const stop = (id: string, at: number, got: readonly (number | null)[]): Stop => ({
  id,
  credential: 'c1',
  at,
  by: 'Ada Fenn',
  reason: '',
  sites: got.map((gotAt, i) => ({ site: `s${i}`, name: `Site ${i}`, gotAt })),
});

it('keeps the stops that some site has not taken, newest first, and names those sites', () => {
  const all = [stop('done', 3, [1, 2]), stop('old', 1, [null, 4]), stop('new', 2, [null, null]), stop('none', 9, [])];
  expect(stopsUnderWay(all).map((s) => [s.stop.id, s.waiting, s.of])).toEqual([
    ['new', ['Site 0', 'Site 1'], 2],
    ['old', ['Site 0'], 2],
  ]);
});
