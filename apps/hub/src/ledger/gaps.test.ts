import type { StateMessage } from '@fillwright/wire';
import { chainHash } from '@fillwright/wire/chain';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { openReleased } from '../release/released.ts';
import { openTestDatabase, type TestDatabase } from '../testing/database.ts';
import { gapsOf, lacking, noteJournal, noteLost, passGap } from './gaps.ts';
import { storeEntries } from './store-entries.ts';

let base: TestDatabase;
beforeAll(async () => {
  base = await openTestDatabase();
});
afterAll(() => base?.stop());

const AT = Date.UTC(2026, 5, 1, 12);
const journal = (() => {
  let hash = '00'.repeat(32);
  return Array.from({ length: 20 }, (_, i) => {
    const text = JSON.stringify({ kind: 'link', at: AT, n: i });
    hash = chainHash(hash, i + 1, AT, text);
    return { seq: i + 1, at: AT, hash, text };
  });
})();
const send = (fleet: string, from: number, to: number) =>
  base.db.as(fleet, (tx) =>
    storeEntries(tx, openReleased(), fleet, 'north', { epoch: '1', entries: journal.slice(from - 1, to) }, AT),
  );
const said = (acknowledged: number) =>
  ({ epoch: '1', journal: { first: 9, last: 20, acknowledged } }) as unknown as StateMessage;
const ask = (fleet: string) => base.db.as(fleet, (tx) => lacking(tx, fleet, 'north', '1'));
const lost = (fleet: string, from: number, to: number) =>
  base.db.as(fleet, (tx) => noteLost(tx, fleet, 'north', { epoch: '1', from, to }, AT));

test('what was acknowledged and is no longer here is asked for again; what is gone for good waits for a word', async () => {
  const fleet = await base.newFleet();
  await send(fleet, 1, 5);
  expect(await ask(fleet)).toBeUndefined();
  // The office that was restored had acknowledged 18; 19 and 20 come by themselves.
  await base.db.as(fleet, (tx) => noteJournal(tx, fleet, 'north', said(18)));
  expect(await ask(fleet)).toEqual({ epoch: '1', after: 5, to: 18 });
  expect(await send(fleet, 19, 20)).toMatchObject({ upTo: 5, advanced: false });
  // Only what is lacking can be gone.
  expect(await lost(fleet, 4, 8)).toBe(false);
  expect(await lost(fleet, 6, 19)).toBe(false);
  expect(await lost(fleet, 6, 8)).toBe(true);
  expect(await ask(fleet)).toEqual({ epoch: '1', after: 8, to: 18 });
  await send(fleet, 9, 12);
  expect(await ask(fleet)).toEqual({ epoch: '1', after: 12, to: 18 });
  await send(fleet, 13, 18);
  expect(await ask(fleet)).toBeUndefined();

  const pass = (word: string, from = 6) =>
    base.db.as(fleet, (tx) => passGap(tx, fleet, { site: 'north', epoch: '1', from, word, by: 'Ada' }, AT + 1));
  expect(await pass('  ')).toMatchObject({ error: { code: 'FW-412' } });
  expect(await pass('why', 7)).toMatchObject({ error: { code: 'FW-411' } });
  expect(await pass('The box kept nothing from before March; its paper is filed.')).toEqual({
    ok: true,
    value: { epoch: '1', upTo: 20, setAside: [] },
  });
  expect(await pass('again')).toMatchObject({ error: { code: 'FW-411' } });
  expect(await base.db.as(fleet, (tx) => gapsOf(tx, fleet))).toMatchObject([{ from: 6, to: 8, by: 'Ada', at: AT + 1 }]);
});
