import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setImmediate as turn } from 'node:timers/promises';
import { demoPin, harrowmere, virtualClock } from '@fillwright/sim';
import { pino } from 'pino';
import { afterEach, expect, test } from 'vitest';
import { preparePractice, sealPins } from '../practice.ts';
import { simulatedYards } from '../simulated.ts';
import { type RunningSite, startSite } from '../site.ts';
import { NOBODYS_CARD } from './lessons.ts';

const START = Date.UTC(2026, 5, 10, 9, 0, 0);
const SITE = 'oxmere-mill';
const HOSE = 'oxmere-mill-h2';
const TERMINAL = 'oxmere-mill-mill-terminal';
const ends: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const end of ends.splice(0)) await end();
});

/** A learner's yard whose only way in is its page. */
async function yard() {
  const virtual = virtualClock(START);
  const clock = { pace: 1, now: virtual.now, monotonic: virtual.now, after: virtual.after };
  const dataDir = mkdtempSync(join(tmpdir(), 'fillwright-lessons-'));
  let n = 0;
  const fleet = harrowmere();
  const ready = preparePractice({ dataDir, fleet, site: SITE, now: START, randomId: () => `box${++n}` });
  if (!ready.ok) throw new Error(ready.error.cause);
  const started = await startSite({
    dataDir,
    clock,
    random: () => 0.5,
    randomId: () => `box${++n}`,
    log: pino({ level: 'silent' }),
    practice: true,
    // One is enough: each PIN is stretched, which takes its time.
    practicePins: (key) => sealPins({ ...fleet, drivers: new Map([...fleet.drivers].slice(0, 1)) }, key, demoPin, 1),
    practiceWords: { pinOf: demoPin, hint: 'Try it' },
    yard: simulatedYards({ clock, seed: 'lessons', dataDir }),
  });
  if (!started.ok) throw new Error(started.error.cause);
  const site: RunningSite = started.value;
  const run = async (ms: number) => {
    for (const end = virtual.now() + ms; virtual.now() < end; virtual.runUntil(Math.min(end, virtual.now() + 100)))
      await turn();
    await turn();
  };
  const until = async (what: string, holds: () => boolean) => {
    for (let i = 0; !holds(); i++) {
      if (i > 2_000) throw new Error(`it did not come to: ${what}; ${JSON.stringify(hose())}`);
      await run(200);
      // What is stretched or written takes time of the world.
      if (i % 5 === 0) await new Promise((done) => setTimeout(done, 2));
    }
  };
  const token = /name="page-token" content="([^"]+)"/.exec(await (await fetch(site.url)).text())?.[1] ?? '';
  const act = async (deed: object) =>
    (
      await fetch(`${site.url}/api/act`, {
        method: 'POST',
        headers: { 'content-type': 'application/json', 'x-page-token': token },
        body: JSON.stringify(deed),
      })
    ).status;
  /** Waits with the clock standing still, for what takes only time of the world. */
  const rest = async (holds: () => boolean) => {
    for (let i = 0; !holds() && i < 2_000; i++) await new Promise((done) => setTimeout(done, 5));
  };
  const hose = () => site.view().hoses.find((h) => h.id === HOSE);
  const screen = () => site.view().terminals[0]?.screen;
  const practise = (fault: string, on: boolean, of: string | null = HOSE) =>
    act({ do: 'practise', fault, on, ...(of === null ? {} : { hose: of }) });
  const set = (fault: string) => site.view().lessons.find((l) => l.fault === fault)?.set;
  ends.push(async () => {
    let over = false;
    const stopped = site.stop().finally(() => {
      over = true;
    });
    await until('the end', () => over);
    await stopped;
    rmSync(dataDir, { recursive: true, force: true });
  });
  await until('a free hose', () => hose()?.state === 'idle' && screen() === 'idle');
  return { site, run, rest, until, act, hose, screen, practise, set };
}
type YardRig = Awaited<ReturnType<typeof yard>>;

/** A fill by somebody whom the page itself tells of, until it flows. */
async function flowing(y: YardRig): Promise<void> {
  const card = y.site.view().cards.find((c) => /PIN \d{4}/.test(c.words) && !c.words.includes('stopped'));
  const pin = [...(/PIN (\d+)/.exec(card?.words ?? '')?.[1] ?? ''), 'enter'];
  // The first PINs may still be on their way into the box: then it says so, and one tries again.
  for (let i = 0; i < 50 && y.screen() !== 'choose' && y.screen() !== 'question'; i++) {
    await y.until('an idle terminal', () => y.screen() === 'idle');
    await y.act({ do: 'card', terminal: TERMINAL, number: card?.number });
    await y.until('a PIN', () => y.screen() === 'pin');
    for (const key of pin) await y.act({ do: 'key', terminal: TERMINAL, key });
    await y.rest(() => y.screen() !== 'pin' && y.screen() !== 'wait');
  }
  if (y.screen() === 'question') await y.act({ do: 'answer', terminal: TERMINAL, text: '1100' });
  await y.until('a choice', () => y.screen() === 'choose');
  await y.act({ do: 'choose', terminal: TERMINAL, hose: HOSE });
  await y.until('a ready hose', () => y.hose()?.lamp === 'ready');
  await y.act({ do: 'lift', hose: HOSE });
  await y.run(500);
  await y.act({ do: 'squeeze', hose: HOSE, share: 1 });
  await y.until('fuel', () => y.hose()?.lamp === 'flowing');
  await y.run(3_000);
}

test('each fault stops a fill in its way, and its mending lets the hose serve again', { timeout: 60_000 }, async () => {
  const y = await yard();
  const hangUp = async () => {
    await y.act({ do: 'hang', hose: HOSE });
    await y.run(1_000);
  };
  for (const [fault, words] of [
    ['hoseFault', 'dispenser fault'],
    ['tankLow', 'tank low'],
  ] as const) {
    await flowing(y);
    expect(await y.practise(fault, true)).toBe(204);
    await y.until(words, () => y.hose()?.words.includes(words) ?? false);
    expect(y.set(fault)).toEqual([HOSE]);
    await hangUp();
    await y.practise(fault, false);
    await y.until('a free hose', () => y.hose()?.state === 'idle' && y.screen() === 'idle');
    expect(y.set(fault)).toEqual([]);
  }
  await flowing(y);
  await y.practise('pulserStands', true);
  await y.run(1_000);
  const counted = y.hose()?.quantity;
  await y.run(10_000);
  expect(y.hose()).toMatchObject({ lamp: 'flowing', quantity: counted });
  await y.until('a stop for want of pulses', () => y.hose()?.lamp !== 'flowing');
  await hangUp();
  await y.practise('pulserStands', false);
  expect(y.set('pulserStands')).toEqual([]);
});

test('emergency stop, office away and a card of nobody', async () => {
  const y = await yard();
  await y.practise('eStop', true, null);
  await y.until('a stop', () => y.site.view().eStop.holds);
  await y.practise('eStop', false, null);
  await y.run(1_000);
  expect(y.hose()).toMatchObject({ lamp: 'stopped' });
  await y.act({ do: 'cleared', block: 'eStop', by: 'a learner' });
  await y.until('a free hose', () => y.hose()?.state === 'idle' && y.screen() === 'idle');
  await y.practise('officeAway', true, null);
  expect(y.site.view()).toMatchObject({ cutOff: true, link: 'down' });
  await y.practise('officeAway', false, null);
  expect(y.site.view()).toMatchObject({ cutOff: false, link: 'none' });
  expect([...harrowmere().credentials.values()].some((c) => c.number === NOBODYS_CARD)).toBe(false);
  await y.act({ do: 'card', terminal: TERMINAL, number: NOBODYS_CARD });
  await y.until('a refusal', () => y.screen() === 'refused');
});

test('what is not there is not done', async () => {
  const y = await yard();
  expect(await y.practise('hoseFault', true, 'no-hose')).toBe(404);
  expect(await y.practise('hoseFault', true, null)).toBe(404);
  expect(await y.practise('flood', true)).toBe(400);
});
