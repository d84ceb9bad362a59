import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  acknowledged,
  emptyOutbox,
  nextBatch,
  type Outbox,
  overdue,
  relinked,
  sent,
  WINDOW,
  waitMs,
} from './outbox.ts';

test('no more than the window is under way, and nothing is sent twice before its time', () => {
  let box: Outbox = emptyOutbox(10);
  const ends: number[] = [];
  for (let next = nextBatch(box, 5_000); next; next = nextBatch(box, 5_000)) {
    ends.push(next.after + next.most);
    box = sent(box, next.after + next.most, 0, 0.5);
  }
  expect(ends).toEqual([110, 210, 310, 410]);
  expect(overdue(box, 4_999)).toBe(box);
  expect(nextBatch(overdue(box, 5_000), 5_000)).toEqual({ after: 10, most: 100 });
});

test('an acknowledgement inside a batch goes on behind that batch, and an old one changes nothing', () => {
  const box = sent(emptyOutbox(0), 100, 0, 0.5);
  const half = acknowledged(box, 60, 10, 0.5);
  expect(half.underWay).toEqual([100]);
  expect(acknowledged(half, 40, 20, 0.5)).toBe(half);
  expect(acknowledged(half, 100, 20, 0.5)).toEqual(emptyOutbox(100));
});

test('waits grow to two minutes and differ by chance', () => {
  expect(waitMs(0, 0.5)).toBe(5_000);
  expect(waitMs(1, 0.5)).toBe(10_000);
  expect(waitMs(40, 0.5)).toBe(120_000);
  expect(waitMs(0, 0)).toBeLessThan(waitMs(0, 0.999));
});

test('whatever the network does, every entry is stored in order, once the network lets anything through', () => {
  const happening = fc.constantFrom('lose', 'store', 'storeAndTell', 'relink', 'wait');
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 2_000 }), fc.array(happening, { maxLength: 60 }), (last, happenings) => {
      let box = emptyOutbox(0);
      let at = 0;
      let stored = 0;
      const run = (what: string, ms = what === 'wait' ? 200_000 : 1_000) => {
        at += ms;
        if (what === 'relink') box = relinked(box);
        box = overdue(box, at);
        const next = nextBatch(box, last);
        if (next) {
          const to = Math.min(next.after + next.most, last);
          box = sent(box, to, at, 0.5);
          // A hub stores only what follows what it has.
          if (what.startsWith('store') && next.after <= stored) stored = Math.max(stored, to);
        }
        if (what === 'storeAndTell') box = acknowledged(box, stored, at, 0.5);
        expect(box.underWay.length).toBeLessThanOrEqual(WINDOW);
        expect(box.acknowledged).toBeLessThanOrEqual(stored);
      };
      for (const what of happenings) run(what);
      for (let i = 0; i < 200 && box.acknowledged < last; i++) run('storeAndTell', 200_000);
      expect(box.acknowledged).toBe(last);
    }),
  );
});
