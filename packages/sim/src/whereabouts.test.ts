import { expect, test } from 'vitest';
import { isHere, thirstySince } from './whereabouts.ts';

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

test('a vehicle wants fuel a few times a day, each time since it last did, a day before at most', () => {
  const START = Date.UTC(2026, 10, 2);
  const HOUR = 3_600_000;
  let wants = 0;
  const days = 60;
  for (const id of ['v-1', 'v-77', 'constructor']) {
    let last: number | null = null;
    let spell: number | null = null;
    for (let at = START; at < START + days * 24 * HOUR; at += HOUR / 4) {
      const since = thirstySince(id, at);
      if (since === null || since === spell) continue;
      expect(at - since).toBeGreaterThanOrEqual(2 * HOUR);
      expect(at - since).toBeLessThanOrEqual(26 * HOUR);
      // What it has used is counted from the spell before, unless that is longer ago than a day.
      if (last !== null && last > START && at - last < 20 * HOUR) expect(Math.abs(since - last)).toBeLessThan(HOUR / 2);
      [last, spell] = [at, since];
      wants++;
    }
  }
  expect(wants / 3 / days).toBeGreaterThan(3);
  expect(wants / 3 / days).toBeLessThan(5);
});
