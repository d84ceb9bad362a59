import { virtualClock } from '@fillwright/sim';
import { expect, test } from 'vitest';

interface Wedge {
  press(key: string, context: undefined, at: number): void;
}
const file = './public/wedge.js';
const { openWedge } = (await import(/* @vite-ignore */ file)) as {
  openWedge(options: object): Wedge;
};

function rig() {
  const clock = virtualClock(0);
  const heard: string[] = [];
  const wedge = openWedge({
    later: clock.after,
    card: (text: string) => heard.push(`card ${text}`),
    keys: (list: { key: string }[]) => heard.push(...list.map((k) => k.key)),
  });
  const pass = (ms: number) => clock.runUntil(clock.now() + ms);
  return {
    heard,
    pass,
    late(key: string, struckAt: number) {
      wedge.press(key, undefined, struckAt);
    },
    press(key: string, gap: number) {
      wedge.press(key, undefined, clock.now());
      pass(gap);
    },
    type(text: string, gap: number, end = true) {
      for (const c of [...text, ...(end ? ['Enter'] : [])]) {
        wedge.press(c, undefined, clock.now());
        clock.runUntil(clock.now() + gap);
      }
      clock.runUntil(clock.now() + 500);
    },
  };
}

test('a burst with Enter is a card, at any speed of readers; keys by hand stay keys', () => {
  for (const gap of [0, 1, 10, 30]) {
    const r = rig();
    r.type(';700881=2712?', gap);
    expect(r.heard).toEqual(['card ;700881=2712?']);
  }
  for (const gap of [80, 120, 900]) {
    const r = rig();
    r.type('4711', gap);
    expect(r.heard).toEqual(['4', '7', '1', '1', 'Enter']);
  }
});

test('keys by hand that a starved machine hears late and all at once stay keys', () => {
  const r = rig();
  // Struck 150 ms apart; not one timer has run in between.
  for (const [i, key] of [...'4711', 'Enter'].entries()) r.late(key, i * 150);
  r.pass(500);
  expect(r.heard).toEqual(['4', '7', '1', '1', 'Enter']);
  // A reader's, heard as late, are a card.
  const card = rig();
  for (const [i, key] of [...'700881', 'Enter'].entries()) card.late(key, i * 10);
  card.pass(500);
  expect(card.heard).toEqual(['card 700881']);
});

test('a track that a busy machine stutters over is still one card', () => {
  const r = rig();
  r.type(';700881=2712?', 200);
  expect(r.heard).toEqual(['card ;700881=2712?']);
});

test('half a card is nothing, and does not run into the next', () => {
  const r = rig();
  r.type('70088', 5, false);
  r.type('700881', 5);
  expect(r.heard).toEqual(['card 700881']);
});

test('the tail of a card that was cut is no card', () => {
  const r = rig();
  for (const c of '888') r.press(c, 10);
  r.pass(150);
  r.type('7777', 10);
  expect(r.heard).toEqual(['8', '8', '8']);
});

test('two keys struck nearly together are two keys', () => {
  const r = rig();
  r.type('12', 10, false);
  expect(r.heard).toEqual(['1', '2']);
});
