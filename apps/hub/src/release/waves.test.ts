import type { StateMessage } from '@fillwright/wire';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { noteState } from '../link/state.ts';
import type { Tx } from '../store/database.ts';
import { openTestDatabase, type TestDatabase } from '../testing/database.ts';
import { beginRollout, judge, rollouts, steer, type WaveDeed } from './waves.ts';

let base: TestDatabase;
beforeAll(async () => {
  base = await openTestDatabase();
});
afterAll(() => base?.stop());

const MIN = 60_000;
const WAVES = [['a'], ['b', 'c', 'd']];

/** A fleet with a box in each of four yards, all on release 1, and release 2 on its way in two waves of half an hour. */
async function onItsWay() {
  const fleet = await base.newFleet();
  const as = <T>(work: (tx: Tx) => Promise<T>) => base.db.as(fleet, work);
  const say = (site: string, now: number, said: Partial<StateMessage>) =>
    as((tx) =>
      noteState(tx, fleet, site, { link: 'here', running: 1, delivered: 1, refused: null, ...said } as never, now),
    );
  for (const site of WAVES.flat()) {
    await as((tx) =>
      tx.rows(
        "insert into box (fleet, site, joined_at, box, sign_key, seal_key, password) values ($1, $2, 0, 'x', 'x', 'x', 'x')",
        [fleet, site],
      ),
    );
    await say(site, 0, {});
  }
  expect(await as((tx) => beginRollout(tx, fleet, 2, WAVES, 30 * MIN, 0))).toEqual(['a']);
  return {
    say,
    judge: (now: number) => as((tx) => judge(tx, fleet, now)),
    steer: (deed: WaveDeed, now = 0) => as((tx) => steer(tx, fleet, 2, deed, 'Ada', now)),
    now: async () => (await as((tx) => rollouts(tx, fleet)))[0],
    wanted: async () =>
      Object.fromEntries(
        (await as((tx) => tx.rows<{ site: string; wanted: number | null }>('select site, wanted from site_state'))).map(
          (r) => [r.site, r.wanted],
        ),
      ),
    refuse: (site: string, at: number, revision: number) =>
      as((tx) =>
        tx.rows(
          `insert into refusal (fleet, id, site, at, terminal, by, revision, decision)
           values ($1, $2, $3, $4, 'k1', 'allowed-here', $5, '{}')`,
          [fleet, `${site}.${at}.${revision}`, site, at, revision],
        ),
      ),
    again: (n: number) => as((tx) => beginRollout(tx, fleet, n, [WAVES.flat()], 0, 0)),
  };
}

test('the next wave is told only when the first has run it well for the whole time', async () => {
  const r = await onItsWay();
  expect(await r.judge(90 * MIN)).toEqual({ changed: false, told: [] });
  await r.say('a', 100 * MIN, { running: 2, delivered: 2 });
  await r.judge(100 * MIN);
  expect((await r.judge(129 * MIN)).told).toEqual([]);
  expect(await r.wanted()).toEqual({ a: 2, b: null, c: null, d: null });
  expect([...(await r.judge(130 * MIN)).told].sort()).toEqual(['b', 'c', 'd']);
  for (const site of ['b', 'c', 'd']) await r.say(site, 131 * MIN, { running: 2 });
  await r.judge(131 * MIN);
  expect((await r.now())?.state).toBe('going');
  await r.judge(161 * MIN);
  expect(await r.now()).toMatchObject({ state: 'ended', why: null, wave: 2 });
});

test.each([
  ['a proof that fails', { refused: { revision: 2, code: 'FW-307', cause: 'The site decides otherwise.' } }, /proof/],
  [
    'a box that falls back',
    { running: 1, refused: { revision: 2, code: 'FW-306', cause: 'The box fell over.' } },
    /fell over/,
  ],
  ['a box that runs the old one again', { running: 1 }, /runs 1 again/],
] as const)('%s in the first wave stops it for good: the poison does not leave wave one', async (_, said, why) => {
  const r = await onItsWay();
  await r.say('a', MIN, { running: 2 });
  await r.judge(MIN);
  await r.say('a', 2 * MIN, said);
  // Late enough that only the stop rule holds it.
  expect(await r.judge(500 * MIN)).toEqual({ changed: true, told: [] });
  expect(await r.now()).toMatchObject({ state: 'stopped', wave: 1, why: expect.stringMatching(why) });
  await r.say('a', 501 * MIN, { running: 2, refused: null });
  await r.judge(900 * MIN);
  expect(await r.wanted()).toEqual({ a: 2, b: null, c: null, d: null });
  for (const deed of ['go on', 'next', 'pause'] as const)
    expect(await r.steer(deed)).toMatchObject({ error: { code: 'FW-352' } });
  expect([...(await r.again(3))].sort()).toEqual(['a', 'b', 'c', 'd']);
});

test('a box that is lost after it ran it, and people who are refused more than before, stop it too', async () => {
  const lost = await onItsWay();
  await lost.say('a', MIN, { running: 2 });
  await lost.judge(MIN);
  await lost.say('a', 2 * MIN, { link: 'gone' });
  expect((await lost.judge(12 * MIN)).changed).toBe(false);
  expect((await lost.judge(13 * MIN)).changed).toBe(true);
  expect(await lost.now()).toMatchObject({ state: 'stopped', why: expect.stringMatching(/gone/) });

  const angry = await onItsWay();
  for (let i = 0; i < 3; i++) await angry.refuse('a', 95 * MIN + i, 1);
  await angry.say('a', 100 * MIN, { running: 2 });
  await angry.judge(100 * MIN);
  // Three before, in as long a time: eleven are chance, twelve are not.
  for (let i = 0; i < 11; i++) await angry.refuse('a', 101 * MIN + i, 2);
  expect((await angry.judge(110 * MIN)).changed).toBe(false);
  await angry.refuse('a', 102 * MIN, 2);
  expect((await angry.judge(110 * MIN)).changed).toBe(true);
  expect(await angry.now()).toMatchObject({ state: 'stopped', why: expect.stringMatching(/12 times/) });
});

test('a person pauses it, lets it go on, sends it on early, or stops it; a later release takes its place', async () => {
  const r = await onItsWay();
  await r.say('a', MIN, { running: 2 });
  await r.judge(MIN);
  expect(await r.steer('pause')).toEqual({ ok: true, value: [] });
  expect(await r.judge(60 * MIN)).toEqual({ changed: false, told: [] });
  expect(await r.steer('go on')).toEqual({ ok: true, value: [] });
  expect((await r.judge(60 * MIN)).told).toHaveLength(3);

  const early = await onItsWay();
  expect(await early.steer('next', 5)).toMatchObject({ ok: true, value: expect.arrayContaining(['b', 'c', 'd']) });

  const ended = await onItsWay();
  await ended.again(3);
  expect(await ended.steer('go on')).toMatchObject({ error: { code: 'FW-351' } });

  const stopped = await onItsWay();
  await stopped.steer('stop');
  expect(await stopped.now()).toMatchObject({ state: 'stopped', why: 'Ada stopped it.', by: 'Ada' });
});

test('a wave in which no box stands proves nothing', async () => {
  const fleet = await base.newFleet();
  const told = (now: number) => base.db.as(fleet, (tx) => judge(tx, fleet, now));
  await base.db.as(fleet, (tx) => beginRollout(tx, fleet, 2, WAVES, MIN, 0));
  expect((await told(1_000 * MIN)).told).toEqual([]);
});
