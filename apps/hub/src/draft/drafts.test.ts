import { canonicalFleet, type Edit, newRow } from '@fillwright/core/fleet';
import fc from 'fast-check';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { openTestDatabase, type TestDatabase } from '../testing/database.ts';
import { type Drafts, openDrafts } from './drafts.ts';
import { readFleet } from './rows.ts';

let base: TestDatabase;
beforeAll(async () => {
  base = await openTestDatabase();
});
afterAll(() => base?.stop());

const open = (): Drafts => openDrafts(base.db, () => 5);
const current = (drafts: Drafts, fleet: string) => base.db.as(fleet, (tx) => drafts.current(tx, fleet));
const put = (id: string, name: string): Edit => ({
  op: 'put',
  table: 'costCentres',
  row: newRow('costCentres', { id, name }),
});
const set = (id: string, fields: Record<string, unknown>): Edit => ({ op: 'set', table: 'costCentres', id, fields });
const remove = (id: string): Edit => ({ op: 'remove', table: 'costCentres', id });
const edit = (drafts: Drafts, fleet: string, version: number, edits: Edit[], by = 'Ada') =>
  drafts.edit(fleet, { version, edits, by, note: '', kind: 'edit' });

test('two people who change different fields of one row both win; the same field is a meeting with a name', async () => {
  const fleet = await base.newFleet();
  const drafts = open();
  await edit(drafts, fleet, 0, [put('a', 'A'), put('b', 'B')]);
  expect(await edit(drafts, fleet, 1, [set('a', { name: 'Anew' })], 'Ada')).toMatchObject({ ok: true });
  const code = await edit(drafts, fleet, 1, [set('a', { code: '7' })], 'Bo');
  expect(code).toMatchObject({ ok: true, value: { reply: { version: 3 } } });
  // The reply leads from the version that Bo had: Ada's change and his own.
  expect(code.ok && code.value.reply.edits).toEqual([set('a', { name: 'Anew' }), set('a', { code: '7' })]);
  const met = await edit(drafts, fleet, 1, [set('a', { name: 'Mine' })], 'Bo');
  expect(met).toMatchObject({
    ok: false,
    error: [{ code: 'FW-301', at: { in: 'costCentres', row: 'a', field: 'name' } }],
  });
  expect(!met.ok && met.error[0]?.cause).toContain('Ada');
  expect(await edit(drafts, fleet, 1, [remove('a')])).toMatchObject({ ok: false });
  expect(await edit(drafts, fleet, 1, [remove('b')])).toMatchObject({ ok: true });
  expect(await edit(drafts, fleet, 9, [remove('a')])).toMatchObject({ error: [{ code: 'FW-201' }] });
});

test('all or nothing: one bad edit of many writes nothing', async () => {
  const fleet = await base.newFleet();
  const drafts = open();
  expect(await edit(drafts, fleet, 0, [put('a', 'A'), put('b', '')])).toMatchObject({ ok: false });
  expect((await current(drafts, fleet)).version).toBe(0);
  expect(await base.db.as(fleet, (tx) => tx.rows("select 1 from entity where tbl <> 'settings'"))).toEqual([]);
});

test('one edit writes one row, and every version can be read again', async () => {
  const fleet = await base.newFleet();
  const drafts = open();
  await edit(
    drafts,
    fleet,
    0,
    Array.from({ length: 50 }, (_, i) => put(`c${i}`, `C ${i}`)),
  );
  const before = await current(drafts, fleet);
  await edit(drafts, fleet, 1, [set('c7', { name: 'Seven' })]);
  const rows = await base.db.as(fleet, (tx) => tx.rows("select id from entity where tbl = 'costCentres'"));
  expect(rows).toHaveLength(51);
  const old = await base.db.as(fleet, (tx) => readFleet(tx, fleet, 1));
  expect(canonicalFleet(old)).toBe(canonicalFleet(before.fleet));
});

test('a lasting change is passed over by undo', async () => {
  const fleet = await base.newFleet();
  const drafts = open();
  await edit(drafts, fleet, 0, [put('a', 'A')]);
  await drafts.edit(fleet, { version: 1, edits: [put('s', 'S')], by: 'Ada', note: '', kind: 'edit', lasting: true });
  const undone = await drafts.undo(fleet, 2, 'Ada');
  expect(undone).toMatchObject({ ok: true, value: { reply: { edits: [remove('a')], canUndo: false, canRedo: true } } });
  expect(await drafts.undo(fleet, 3, 'Ada')).toMatchObject({ error: [{ code: 'FW-305' }] });
  expect(await drafts.undo(fleet, 2, 'Ada')).toMatchObject({ error: [{ code: 'FW-301' }] });
});

const id = fc.constantFrom('a', 'b', 'c');
const anEdit = fc.oneof(
  fc.tuple(id, fc.constantFrom('A', 'B', 'C')).map(([i, n]) => put(i, n)),
  fc.tuple(id, fc.constantFrom('1', '2')).map(([i, code]) => set(i, { code })),
  id.map(remove),
);
const aStep = fc.oneof(
  { weight: 3, arbitrary: fc.array(anEdit, { minLength: 1, maxLength: 3 }) },
  { weight: 2, arbitrary: fc.constant('undo' as const) },
  { weight: 1, arbitrary: fc.constant('redo' as const) },
);

test('undo and redo walk the states that there were, on two hubs, and rows read anew are the fleet in memory', async () => {
  await fc.assert(
    fc.asyncProperty(fc.array(aStep, { minLength: 1, maxLength: 14 }), async (steps) => {
      const fleet = await base.newFleet();
      const hubs = [open(), open()] as const;
      // The model: states as text, and where in them we stand.
      let past = [canonicalFleet((await current(hubs[0], fleet)).fleet)];
      let future: string[] = [];
      for (const [i, step] of steps.entries()) {
        const drafts = hubs[i % 2] as Drafts;
        const { version } = await current(drafts, fleet);
        if (step === 'undo') {
          const done = await drafts.undo(fleet, version, 'Ada');
          expect(done.ok).toBe(past.length > 1);
          if (done.ok) future.push(past.pop() as string);
        } else if (step === 'redo') {
          const done = await drafts.redo(fleet, version, 'Ada');
          expect(done.ok).toBe(future.length > 0);
          if (done.ok) past.push(future.pop() as string);
        } else {
          const done = await edit(drafts, fleet, version, step);
          if (done.ok && done.value.draft.version > version) {
            past = [...past, canonicalFleet(done.value.draft.fleet)];
            future = [];
          }
        }
        const now = await current(drafts, fleet);
        expect(canonicalFleet(now.fleet)).toBe(past.at(-1));
        expect(now.steps.undo.length > 0).toBe(past.length > 1);
        expect(now.steps.redo.length > 0).toBe(future.length > 0);
      }
      const anew = await current(open(), fleet);
      expect(canonicalFleet(anew.fleet)).toBe(past.at(-1));
      const rows = await base.db.as(fleet, (tx) => readFleet(tx, fleet));
      expect(canonicalFleet(rows)).toBe(past.at(-1));
    }),
    { numRuns: 15 },
  );
}, 240_000);

test('many at once: every change is kept once, in one order', async () => {
  const fleet = await base.newFleet();
  const hubs = [open(), open()] as const;
  const done = await Promise.all(
    Array.from({ length: 20 }, (_, i) => edit(hubs[i % 2] as Drafts, fleet, 0, [put(`n${i}`, `N ${i}`)])),
  );
  expect(done.map((d) => d.ok && d.value.draft.version).sort((a, b) => Number(a) - Number(b))).toEqual(
    Array.from({ length: 20 }, (_, i) => i + 1),
  );
  for (const drafts of hubs) expect((await current(drafts, fleet)).fleet.costCentres.size).toBe(20);
});
