import { expect, test } from 'vitest';
import { isHere } from './whereabouts.ts';

test('nobody is at two yards within three quarters of an hour, and everybody comes to each', () => {
  const START = Date.UTC(2026, 10, 2);
  for (const id of ['d-1', 'd-2', 'v-1', 'v-77', 'constructor']) {
    let last: { place: number; at: number } | undefined;
    const seen = new Set<number>();
    for (let at = START; at < START + 14 * 86_400_000; at += 60_000) {
      const here = [0, 1, 2].filter((number) => isHere(id, at, { number, of: 3 }));
      expect(here.length).toBeLessThanOrEqual(1);
      const [place] = here;
      if (place === undefined) continue;
      seen.add(place);
      if (last && last.place !== place) expect(at - last.at).toBeGreaterThanOrEqual(45 * 60_000);
      last = { place, at };
    }
    expect(seen.size).toBe(3);
  }
  expect(isHere('d-1', START, { number: 0, of: 1 })).toBe(true);
});
