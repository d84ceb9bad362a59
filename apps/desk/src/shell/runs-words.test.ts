import type { SiteStatus } from '@fillwright/wire';
import { expect, it } from 'vitest';
import { runsWords } from './runs-words.ts';

const site = (running: number | null, wanted: number | null = 4, joined = true) =>
  ({ running, wanted, joined }) as SiteStatus;

it('counts the sites that run the newest release, and is calm only where nobody is behind what is wanted of it', () => {
  expect(runsWords([], undefined)).toEqual({ calm: true, words: 'Nothing released yet' });
  expect(runsWords([site(4), site(4)], 4)).toEqual({ calm: true, words: 'Release 4 runs at 2 of 2 sites' });
  expect(runsWords([site(4), site(3)], 4)).toEqual({ calm: false, words: 'Release 4 runs at 1 of 2 sites' });
  // In waves the next site still wants the release before.
  expect(runsWords([site(4), site(3, 3)], 4)).toEqual({ calm: true, words: 'Release 4 runs at 1 of 2 sites' });
  // Nobody waits at a site that has no box.
  expect(runsWords([site(null, 4, false)], 4)).toEqual({ calm: true, words: 'Release 4 runs at 0 of 1 site' });
});
