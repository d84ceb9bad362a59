import { afterAll, beforeAll, expect, test } from 'vitest';
import { writeRows } from '../draft/rows.ts';
import { openReleased } from '../release/released.ts';
import { openTestDatabase, type TestDatabase } from '../testing/database.ts';
import { fleetOf, smallFleet } from '../testing/office.ts';
import { storeFact } from './store-fact.ts';
import { whyOf } from './why.ts';

let base: TestDatabase;
beforeAll(async () => {
  base = await openTestDatabase();
});
afterAll(() => base?.stop());

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
      refusal: await whyOf(openReleased(), tx, fleet, 'north.e.9', 0),
      none: await whyOf(openReleased(), tx, fleet, 'no-such', 0),
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
