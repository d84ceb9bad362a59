import type { ChangedStretch } from '@fillwright/core/reach';
import { expect, test } from 'vitest';
import { timesOf } from '../../show/week-blocks.ts';
import { likesOf } from './week-of-change.tsx';

const stretch = (from: number, to: number, part: Partial<ChangedStretch> = {}): ChangedStretch => ({
  ...{ from, to, gained: 0, lost: 0, raised: 0, lowered: 0 },
  ...part,
});

test('stretches that hold the same kinds of change are one on the map, however many points each has', () => {
  const likes = likesOf([
    stretch(0, 360),
    stretch(360, 600, { gained: 2 }),
    stretch(600, 720, { gained: 5 }),
    stretch(720, 1500, { gained: 1, lost: 3 }),
    stretch(1500, 10_080),
  ]);
  expect(likes.map((l) => [l.kinds.join(' '), timesOf(l.blocks)])).toEqual([
    ['', 'Mon 00:00 to 06:00; Tue 01:00 to 24:00; Wed to Sun all day'],
    ['gained', 'Mon 06:00 to 12:00'],
    ['gained lost', 'Mon 12:00 to 24:00; Tue 00:00 to 01:00'],
  ]);
  expect(likes[1]?.points.gained).toBe(2 * 240 + 5 * 120);
  expect(likes[1]?.blocks).toHaveLength(1);
  expect(likes[2]?.points).toEqual({ gained: 780, lost: 2340, raised: 0, lowered: 0 });
});
