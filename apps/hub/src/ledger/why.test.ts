import type { AskedFacts, Entry } from '@fillwright/core/island';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { writeRows } from '../draft/rows.ts';
import { openReleased } from '../release/released.ts';
import { openTestDatabase, type TestDatabase } from '../testing/database.ts';
import { fleetOf, smallFleet } from '../testing/office.ts';
import { askWhy, type Question } from './ask-why.ts';
import { storeFact } from './store-fact.ts';
import { whyOf } from './why.ts';
import { type Asking, whyTold } from './why-told.ts';

let base: TestDatabase;
beforeAll(async () => {
  base = await openTestDatabase();
});
afterAll(() => base?.stop());

/** As the office's thread answers, here at once. */
const answered = <R>(asking: Asking<R> | 'none' | 'own', wanted = 0) =>
  typeof asking === 'string' ? asking : asking.reply(whyTold(asking.base, wanted));

const AT = Date.UTC(2026, 5, 3, 18);
const L = 1_000_000;

test('a refusal is decided again under its release with what was drawn before, and says what would have helped', async () => {
  const fleet = await base.newFleet();
  const edits = smallFleet();
  const told = await base.db.as(fleet, async (tx) => {
    await writeRows(tx, fleet, 1, edits, fleetOf(edits));
    await tx.rows(
      `insert into release (fleet, number, version, at, by, note, digest, changes, words) values ($1, 1, 1, 0, 'x', '', '', '[]', '{}')`,
      [fleet],
    );
    const decision = { approved: true, charged: [{ holder: 'driver:d1', allowance: 'daily' }] };
    await tx.rows(
      `insert into fill (fleet, id, site, terminal, hose, hose_number, product, driver, driver_name, vehicle_name, revision, started_at,
         volume, limit_volume, unit, state, answers, decision, search)
       values ($1, 'f1', 'north', 'k1', 'h1', 1, 'diesel', 'd1', '', '', 1, $2, $3, $3, 'l', 'ended', '{}', $4, '')`,
      [fleet, AT - 3_600_000, 300 * L, JSON.stringify(decision)],
    );
    await storeFact(
      tx,
      { fleet, site: 'north', epoch: 'e', seq: 9 },
      {
        kind: 'refused',
        at: AT,
        terminal: 'k1',
        credentials: ['c1', 'c2'],
        driver: 'd1',
        vehicle: 'v1',
        reason: 'per-day',
        steps: [],
        revision: 1,
      },
    );
    return {
      refusal: answered(await whyOf(openReleased(), tx, fleet, 'north.e.9')),
      none: answered(await whyOf(openReleased(), tx, fleet, 'no-such')),
    };
  });
  expect(told.none).toBe('none');
  if (typeof told.refusal === 'string') throw new Error(told.refusal);
  expect(told.refusal.agrees).toBe(true);
  expect(told.refusal.again).toEqual({ approved: false, by: 'per-day', limit: null });
  const words = told.refusal.remedies.map((r) => r.changes.map((c) => `${c.who}: ${c.text}`).join(' + '));
  expect(words).toContain('person: come at 2026-06-04 00:00 or soon after');
  expect(words.some((w) => w.startsWith('editor: raise per day of “Daily” to'))).toBe(true);
  expect(words.every((w) => !w.includes(' + '))).toBe(true);
});

test('what the site put on the record goes before what the ledger has now', async () => {
  const fleet = await base.newFleet();
  const edits = smallFleet();
  const refused = (asked: AskedFacts): Entry => ({
    kind: 'refused',
    at: AT,
    terminal: 'k1',
    hose: 'h1',
    credentials: ['c1', 'c2'],
    driver: 'd1',
    vehicle: 'v1',
    reason: 'per-day',
    steps: [],
    asked,
    revision: 1,
  });
  // The ledger knows of no fill: only the record says that the day was used up; a site that knew of nothing would have approved.
  const full = { day: 300 * L, week: 300 * L, month: 300 * L, fillsToday: 1 };
  const told = await base.db.as(fleet, async (tx) => {
    await writeRows(tx, fleet, 1, edits, fleetOf(edits));
    await tx.rows(
      `insert into release (fleet, number, version, at, by, note, digest, changes, words) values ($1, 1, 1, 0, 'x', '', '', '[]', '{}')`,
      [fleet],
    );
    const asked = { pin: 'right', answers: {}, cutOff: false, readings: {} } as const;
    const place = { fleet, site: 'north', epoch: 'e' };
    await storeFact(tx, { ...place, seq: 1 }, refused({ ...asked, used: { 'driver:d1 daily': full } }));
    await storeFact(tx, { ...place, seq: 2 }, refused({ ...asked, used: {} }));
    await storeFact(tx, { ...place, seq: 3 }, refused({ ...asked, pin: 'wrong', used: {} }));
    const ask = async (seq: number) => answered(await whyOf(openReleased(), tx, fleet, `north.e.${seq}`));
    return [await ask(1), await ask(2), await ask(3)];
  });
  const [used, unused, wrong] = told.map((t) => (typeof t === 'object' ? t : undefined));
  expect(used).toMatchObject({ agrees: true, again: { approved: false, by: 'per-day' } });
  expect(used?.taken.join()).not.toContain('ledger');
  expect(used?.lines.find((l) => l.decides)?.on).toEqual({ table: 'allowances', id: 'daily' });
  expect(unused).toMatchObject({ agrees: false, again: { approved: true } });
  expect(wrong).toMatchObject({ agrees: false });
});

test('a question about somebody who stands there: under what the site runs, by card or by name', async () => {
  const fleet = await base.newFleet();
  const edits = smallFleet();
  const told = await base.db.as(fleet, async (tx) => {
    await writeRows(tx, fleet, 1, edits, fleetOf(edits));
    const ask = (question: Partial<Question>) =>
      askWhy(openReleased(), tx, fleet, fleetOf(edits), {
        site: 'north',
        hose: 'h1',
        at: AT,
        pin: 'right',
        cutOff: false,
        ...question,
      });
    const unheard = await ask({ driver: 'd1' });
    await tx.rows(
      `insert into release (fleet, number, version, at, by, note, digest, changes, words) values ($1, 1, 1, 0, 'x', '', '', '[]', '{}')`,
      [fleet],
    );
    await tx.rows(`insert into site_state (fleet, site, link, said) values ($1, 'north', 'up', '{"running":1}')`, [
      fleet,
    ]);
    return {
      unheard,
      named: await ask({ driver: 'd1', vehicle: 'v1' }),
      unknown: await ask({ card: '424242' }),
      nobody: await ask({}),
    };
  });
  const codes = [told.unheard, told.nobody].map((r) => (r.ok ? 'ok' : r.error[0]?.code));
  expect(codes).toEqual(['FW-336', 'FW-338']);
  if (!told.named.ok || !told.unknown.ok) throw new Error('refused');
  expect(answered(told.named.value)).toMatchObject({ revision: 1, again: { approved: true } });
  // More than its limit is no refusal, but there is something to change.
  const more = answered(told.named.value, 100_000 * L);
  expect(typeof more === 'object' && more.again.approved).toBe(true);
  expect(answered(told.unknown.value)).toMatchObject({ again: { approved: false, by: 'card-known' } });
});
