import { newSigningKeys, signValue } from '@fillwright/wire/keys';
import { afterEach, expect, test } from 'vitest';
import { FLEET } from './testing/office.ts';
import { armed, draw, hoseState, type Rig, rig } from './testing/rig.ts';
import { CARD, SITE, world } from './testing/world.ts';

let r: Rig;
afterEach(() => r.end());

async function running(fleet = world()): Promise<void> {
  r = await rig();
  r.office.offer(r.office.bundle(fleet, 1));
  await r.boot();
  await r.until('a running release', () => r.site.view().running === 1);
  await r.flow('a free hose', () => hoseState(r, 'h1') === 'idle');
}

const order = (numbers: readonly string[], id = 'stop-1', keys = r.office.keys) =>
  signValue({ id, site: SITE, at: r.clock.now(), numbers, reason: 'lost' }, keys.privateKey);

test('an urgent stop holds at once, is acknowledged, is durable, and taken once', async () => {
  await running();
  r.office.say('stop', order([CARD.ada]));
  await r.until('its acknowledgement', () => r.office.got.length === 1);
  expect(r.office.got[0]).toEqual({ kind: 'stop', id: 'stop-1' });
  r.office.say('stop', order([CARD.ada]));
  await r.until('it again', () => r.office.got.length === 2);
  await r.site.stop();
  await r.boot();
  await r.flow('a free hose', () => hoseState(r, 'h1') === 'idle');
  r.yard.present('term', CARD.ada);
  await r.flow('a refusal', () => r.screen() === 'refused');
  await r.until('the refusal', () => r.journal().some((e) => e.kind === 'refused' && e.reason === 'card-stopped'));
  expect(r.journal().filter((e) => e.kind === 'cardStopped')).toEqual([
    expect.objectContaining({ credential: 'card-ada' }),
  ]);
});

test('an urgent stop ends what flows on that card, and nothing else', async () => {
  await running();
  await armed(r, CARD.ada);
  r.yard.lift('h1');
  r.yard.squeeze('h1', 1);
  await r.flow('fuel that flows', () => hoseState(r, 'h1') === 'flowing');
  r.office.say('stop', order([CARD.bo], 'another'));
  await r.until('the other acknowledged', () => r.office.got.length === 1);
  await r.run(1_000);
  expect(hoseState(r, 'h1')).toBe('flowing');
  r.office.say('stop', order([CARD.ada]));
  await r.until('acknowledged', () => r.office.got.length === 2);
  expect(hoseState(r, 'h1')).toBe('stopping');
  await r.flow('an end', () => hoseState(r, 'h1') === 'idle');
  expect(r.yard.look().hoses.h1).toMatchObject({ open: false });
  r.yard.hang('h1');
  await r.run(3_000);
  const entries = r.journal();
  const ended = entries.find((e) => e.kind === 'ended');
  expect(ended).toMatchObject({ reason: 'cardStopped' });
  expect(ended?.kind === 'ended' && ended.pulses).toBeGreaterThan(0);
  // The order is on the record before the end that it made.
  expect(entries.findIndex((e) => e.kind === 'cardStopped')).toBeLessThan(entries.findIndex((e) => e.kind === 'ended'));
});

test('an urgent stop that the office did not sign, or for another site, is not taken', async () => {
  await running();
  const { newSigningKeys } = await import('@fillwright/wire/keys');
  r.office.say('stop', order([CARD.ada], 'forged', newSigningKeys()));
  r.office.say(
    'stop',
    signValue(
      { id: 'other', site: 'elsewhere', at: r.clock.now(), numbers: [CARD.ada], reason: '' },
      r.office.keys.privateKey,
    ),
  );
  r.office.say('stop', order([CARD.bo], 'good'));
  await r.until('the good one', () => r.office.got.length > 0);
  expect(r.office.got).toEqual([{ kind: 'stop', id: 'good' }]);
  await armed(r, CARD.ada);
  expect(r.screen()).toBe('authorised');
});

test('nothing is let go before the office says that it has it, and a broker’s word is not that', async () => {
  await running();
  r.office.acks = false;
  await armed(r, CARD.ada);
  await draw(r, 'h1', 10);
  await r.both('everything at the office', () => r.journal().some((e) => e.kind === 'ended'));
  expect(r.site.view().unsent).toBeGreaterThan(5);
  await r.site.stop();
  await r.boot();
  expect(r.site.view().unsent).toBeGreaterThan(5);
  r.office.acks = true;
  // The site sends again by itself, later each time.
  await r.until('a link', () => r.site.view().link === 'up');
  await r.both('nothing left to send', () => r.site.view().unsent === 0);
});

test('without the office from the start of the day: it decides, meters, keeps receipts, and catches up', async () => {
  await running();
  await r.site.stop();
  const before = r.journal().length;
  await r.office.away();
  await r.boot();
  await r.flow('a free hose', () => hoseState(r, 'h1') === 'idle');
  expect(r.site.view().link).toBe('down');
  await armed(r, CARD.ada);
  await draw(r, 'h1', 10);
  await r.flow('an idle terminal', () => r.screen() === 'idle');
  r.yard.present('term', '4242');
  await r.flow('a refusal', () => r.screen() === 'refused');
  expect(r.journal().length).toBe(before);
  expect(r.site.view().unsent).toBeGreaterThan(5);
  await r.office.back();
  await r.both('everything at the office', () => r.site.view().unsent === 0);
  const kinds = r
    .journal()
    .slice(before)
    .map((e) => e.kind);
  expect(kinds).toContain('ended');
  expect(kinds).toContain('refused');
  expect(r.office.entries.map((e) => e.seq)).toEqual(r.office.entries.map((_, i) => i + 1));
});

test('what other sites let through counts here, and the larger total holds', async () => {
  await running();
  const total = { site: 'uphill', holder: 'driver:ada', allowance: 'daily', date: '2026-06-10' };
  r.office.sayAll('usage', { at: r.clock.now(), totals: [{ ...total, volume: 12 * 3_785_412, fills: 2 }] });
  r.office.sayAll('usage', { at: r.clock.now(), totals: [{ ...total, volume: 6 * 3_785_412, fills: 1 }] });
  r.office.say('stop', order([], 'marker'));
  await r.until('both were heard', () => r.office.got.length === 1);
  await r.site.stop();
  await r.boot();
  await r.flow('a free hose', () => hoseState(r, 'h1') === 'idle');
  await armed(r, CARD.ada);
  expect(r.site.view().hoses[0]?.limit).toBe('3.0 gal');
});

test('cut off when the office has told no time for a quarter of an hour; allowances say what holds then', async () => {
  await running(world((put) => put('allowances', { id: 'daily', cutOff: 'decline' })));
  r.office.sayTime(r.clock.now());
  await r.until('it is heard', () => !r.site.view().cutOff);
  await r.run(16 * 60_000);
  expect(r.site.view().cutOff).toBe(true);
  r.yard.present('term', CARD.ada);
  await r.flow('a refusal', () => r.screen() === 'refused');
  await r.until('why', () => r.journal().some((e) => e.kind === 'refused' && e.reason === 'allowance-cut-off'));
  r.office.sayTime(r.clock.now());
  await r.until('it is heard again', () => !r.site.view().cutOff);
  await r.flow('an idle terminal', () => r.screen() === 'idle');
  await armed(r, CARD.ada);
  expect(r.screen()).toBe('authorised');
});

test('a time that the office did not sign, or that somebody held back, moves no clock and is no sign of life', async () => {
  await running();
  const other = newSigningKeys().privateKey;
  const start = r.clock.now();
  const kept = signValue({ fleet: FLEET, at: start }, r.office.keys.privateKey);
  r.office.sayAll('time', kept);
  await r.run(20 * 60_000);
  await r.both('cut off', () => r.office.states.at(-1)?.cutOff === true);
  r.office.sayAll('time', signValue({ fleet: FLEET, at: start + 3 * 3_600_000 }, other));
  r.office.sayAll('time', signValue({ fleet: 'another', at: start + 3 * 3_600_000 }, r.office.keys.privateKey));
  r.office.sayAll('time', { at: start + 3 * 3_600_000 });
  r.office.sayAll('time', kept);
  await r.run(60_000);
  await new Promise((resolve) => setTimeout(resolve, 100));
  expect(r.journal().some((e) => e.kind === 'clock')).toBe(false);
  expect(r.office.states.at(-1)?.cutOff).toBe(true);
  r.office.sayTime(r.clock.now());
  await r.both('linked again', () => r.office.states.at(-1)?.cutOff === false);
});

test('the office sets a clock that is wrong, and the journal tells of it', async () => {
  await running();
  r.office.sayTime(r.clock.now() + 3_600_000);
  await r.until('the entry', () => r.journal().some((e) => e.kind === 'clock'));
  expect(r.journal().find((e) => e.kind === 'clock')).toMatchObject({ by: 'the office' });
});

test('the last will says that the site is gone', async () => {
  await running();
  await r.site.stop();
  await r.until('the word', () => r.office.states.at(-1)?.link === 'gone');
  await r.boot();
});

test('what the office has lost is sent again, and nothing of it is let go of meanwhile', async () => {
  await running();
  for (let i = 0; i < 3; i++) {
    r.yard.present('term', '99999');
    await r.flow('a refusal', () => r.screen() === 'refused');
    await r.flow('an idle terminal', () => r.screen() === 'idle');
  }
  await r.until('everything acknowledged', () => r.site.view().unsent === 0);
  const had = [...r.office.entries];
  expect(had.length).toBeGreaterThan(4);
  // Restored: it has the first two, asks, and gets the same entries to the letter.
  r.office.entries.length = 2;
  r.office.acks = false;
  r.office.say('again', { epoch: r.office.epoch, after: 2, to: had.length });
  await r.until('all of it again', () => r.office.entries.length === had.length);
  expect(r.office.entries).toEqual(had);
});
