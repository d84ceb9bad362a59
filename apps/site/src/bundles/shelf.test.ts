import fc from 'fast-check';
import { expect, test } from 'vitest';
import { confirmed, emptyShelf, fellBack, type Shelf, startedAgain, switched, worthless } from './shelf.ts';

test('a bundle on trial is left after three starts, and the last confirmed one runs again', () => {
  const good = confirmed(switched(emptyShelf, 4, 1_000));
  let trial = switched(good, 5, 2_000);
  for (let i = 0; i < 2; i++) trial = startedAgain(trial);
  expect(worthless(trial)).toBe(false);
  trial = startedAgain(trial);
  expect(worthless(trial)).toBe(true);
  const back = fellBack(trial, 3_000, 'why');
  expect(back).toMatchObject({ running: 4, newest: 5, trialStarts: null, refused: { revision: 5, code: 'FW-306' } });
  expect(() => switched(back, 5, 4_000)).toThrow(RangeError);
});

test('a confirmed bundle may start as often as it likes; an unconfirmed one is no ground to fall back to', () => {
  const good = confirmed(switched(emptyShelf, 4, 0));
  expect(startedAgain(good)).toBe(good);
  expect(switched(switched(good, 5, 0), 6, 0).before).toBe(4);
  expect(fellBack(switched(emptyShelf, 1, 0), 0, 'why').running).toBe(1);
});

test('what runs was never left before, and the newest number never falls', () => {
  const doing = fc.constantFrom('switch', 'confirm', 'start', 'back');
  fc.assert(
    fc.property(fc.array(doing, { maxLength: 80 }), (doings) => {
      let shelf: Shelf = emptyShelf;
      const left = new Set<number>();
      for (const what of doings) {
        const before = shelf;
        if (what === 'switch') shelf = switched(shelf, shelf.newest + 1, 0);
        if (what === 'confirm') shelf = confirmed(shelf);
        if (what === 'start') shelf = startedAgain(shelf);
        if (what === 'back' && shelf.trialStarts !== null) shelf = fellBack(shelf, 0, 'why');
        if (what === 'back' && before.running !== null && shelf.running !== before.running) left.add(before.running);
        expect(shelf.newest).toBeGreaterThanOrEqual(before.newest);
        if (shelf.running !== null) expect(left.has(shelf.running)).toBe(false);
      }
    }),
  );
});
