import { canonical } from '@fillwright/core/fleet';
import { type Entry, entrySchema } from '@fillwright/core/island';
import { chainHash } from '@fillwright/wire/chain';
import fc from 'fast-check';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { openReleased } from '../release/released.ts';
import { openTestDatabase, type TestDatabase } from '../testing/database.ts';
import { fillPage } from './read-fills.ts';
import { storeEntries } from './store-entries.ts';

let base: TestDatabase;
beforeAll(async () => {
  base = await openTestDatabase();
});
afterAll(() => base?.stop());

const released = openReleased();
const AT = Date.UTC(2026, 5, 1, 12);

/** A journal as a site writes it: fills with checkpoints and ends, the last one still open, refusals, readings, a delivery. */
function journal(fills: number): Entry[] {
  const entries: Entry[] = [];
  for (let i = 0; i < fills; i++) {
    const at = AT + i * 600_000;
    const fill = `north.1.${entries.length + 1}`;
    const ul = 1_000_000 * (i + 1);
    entries.push({
      kind: 'authorised',
      at,
      terminal: 'k1',
      hose: 'h1',
      credentials: ['c1'],
      driver: i % 2 ? 'd1' : 'd2',
      product: 'diesel',
      tanks: i % 3 ? ['t1'] : ['t1', 't2'],
      limitUl: 100_000_000,
      by: 'per-day',
      steps: [],
      notes: [],
      charged: [{ holder: i % 2 ? 'driver:d1' : 'driver:d2', allowance: 'daily' }],
      answers: {},
      price: 40_000,
      unit: 'l',
      pulsesPerMeasure: 100_000,
      limitPulses: 10_000,
      stopAtPulses: 10_000,
      cutOff: false,
      revision: 1,
    });
    entries.push({ kind: 'checkpoint', at, fill, hose: 'h1', step: 'flowing', pulses: 50, ul: 500_000, count: 50 });
    if (i === fills - 1) break;
    entries.push({
      kind: 'ended',
      at: at + 1000,
      fill,
      hose: 'h1',
      reason: i % 4 ? 'hung' : 'powerLoss',
      pulses: ul / 10_000,
      ul,
      amount: 4 * (ul / 100),
      overPulses: 0,
      overUl: 0,
      armedAt: at,
      firstPulseAt: at,
      timers: [],
      curve: [],
      lagPulses: null,
      count: null,
    });
    entries.push({ kind: 'reading', at: at + 1000, tank: 't1', when: 'fillEnd', fill, ul: 9_000_000 });
    entries.push({
      kind: 'refused',
      at: at + 2000,
      terminal: 'k1',
      credentials: [],
      reason: 'card-known',
      steps: [],
      revision: 1,
    });
  }
  entries.push({ kind: 'delivery', at: AT, tank: 't1', ul: 5_000_000_000 });
  return entries;
}

/** Chained as a box does. */
const wired = (entries: readonly Entry[]) => {
  let hash = '00'.repeat(32);
  return entries.map((entry, i) => {
    const text = canonical(entrySchema.parse(entry));
    hash = chainHash(hash, i + 1, entry.at, text);
    return { seq: i + 1, at: entry.at, hash, text };
  });
};

const send = (fleet: string, entries: ReturnType<typeof wired>) =>
  base.db.as(fleet, (tx) => storeEntries(tx, released, fleet, 'north', { epoch: '1', entries }, AT));

/** Everything that the ledger says, without what depends on the order of arrival. */
async function ledger(fleet: string): Promise<unknown> {
  return base.db.as(fleet, async (tx) => ({
    page: await fillPage(tx, fleet, { limit: 1000 }),
    usage: await tx.rows('select holder, allowance, date, volume, fills from usage order by 1, 2, 3'),
    moves: await tx.rows('select id, tank, at, kind, volume, note, fill from tank_move order by id'),
    refusals: await tx.rows('select id, at, by from refusal order by id'),
    readings: await tx.rows('select seq, tank, volume from tank_reading order by seq'),
    entries: await tx.rows('select seq, kind, text, aside from entry order by seq'),
    mark: await tx.rows('select up_to, top from journal_mark'),
  }));
}

test('the same entries twice, late, or in any order give the same ledger; the mark never passes a gap', async () => {
  const all = wired(journal(6));
  const straight = await base.newFleet();
  expect((await send(straight, all)).upTo).toBe(all.length);
  const expected = await ledger(straight);
  const batches = fc
    .array(fc.array(fc.integer({ min: 0, max: all.length - 1 }), { minLength: 1, maxLength: 8 }), { maxLength: 12 })
    .chain((some) =>
      fc
        .shuffledSubarray(
          all.map((_, i) => i),
          { minLength: all.length },
        )
        .map((rest) => ({ some, rest })),
    );
  await fc.assert(
    fc.asyncProperty(batches, async ({ some, rest }) => {
      const fleet = await base.newFleet();
      const had = new Set<number>();
      const give = async (indexes: readonly number[]) => {
        for (const i of indexes) had.add(i);
        const { upTo } = await send(
          fleet,
          indexes.map((i) => all[i] as (typeof all)[number]),
        );
        let whole = 0;
        while (had.has(whole)) whole++;
        expect(upTo).toBe(whole);
      };
      for (const batch of some) await give(batch);
      for (let i = 0; i < rest.length; i += 7) await give(rest.slice(i, i + 7));
      expect(await ledger(fleet)).toEqual(expected);
    }),
    { numRuns: 8 },
  );
}, 240_000);

test('totals are those of all lines, whatever the page; the cursor passes each line once', async () => {
  const fleet = await base.newFleet();
  await send(fleet, wired(journal(9)));
  const seen: { id: string; volume: number; amount: number | null }[] = [];
  let before: string | undefined;
  do {
    const page = await base.db.as(fleet, (tx) => fillPage(tx, fleet, { limit: 2, ...(before ? { before } : {}) }));
    seen.push(...page.fills);
    before = page.next ?? undefined;
    expect(page.totals.fills).toBe(9);
  } while (before);
  const { totals } = await base.db.as(fleet, (tx) => fillPage(tx, fleet, { limit: 1 }));
  expect(new Set(seen.map((f) => f.id)).size).toBe(9);
  expect(totals).toEqual({
    fills: seen.length,
    volume: seen.reduce((sum, f) => sum + f.volume, 0),
    amount: seen.reduce((sum, f) => sum + (f.amount ?? 0), 0),
  });
  const none = await base.db.as(fleet, (tx) => fillPage(tx, fleet, { limit: 10, text: '%' }));
  expect(none.totals.fills).toBe(0);
});

test('what is not understood, and what clashes with what came before, is kept whole and acknowledged', async () => {
  const fleet = await base.newFleet();
  const all = wired(journal(2));
  let hash = '00'.repeat(32);
  const odd = [
    'no json \u0000',
    '{"kind":"ended","fill":"south.1.1"}',
    (all[1]?.text ?? '').replace('north.1.1', 'south.1.1'),
  ].map((text, i) => {
    hash = chainHash(hash, i + 1, AT, text);
    return { seq: i + 1, at: AT, hash, text };
  });
  expect(await send(fleet, odd)).toMatchObject({ upTo: 3, setAside: [1, 2, 3] });
  expect(await send(fleet, [{ seq: 2, at: AT, hash: 'another', text: '{}' }])).toMatchObject({
    upTo: 3,
    setAside: [2],
  });
  expect(await base.db.as(fleet, (tx) => tx.row('select forked_seq, forked_at from journal_mark'))).toEqual({
    forked_seq: 2,
    forked_at: AT,
  });
  const kept = await base.db.as(fleet, (tx) => tx.rows('select epoch, seq, text from entry order by seq, epoch'));
  expect(kept).toHaveLength(4);
  expect(kept).toContainEqual({ epoch: expect.stringMatching(/^1~/), seq: 2, text: '{}' });
});

test('two boxes from one image: what one writes does not mix with what the other wrote', async () => {
  const fleet = await base.newFleet();
  const all = wired(journal(3));
  const shared = all.slice(0, 5);
  await send(fleet, shared);
  let hash = shared[4]?.hash ?? '';
  const copy = all.slice(5, 9).map((e) => {
    const text = e.text.replace('"at":', '"at": ');
    hash = chainHash(hash, e.seq, e.at, text);
    return { ...e, hash, text };
  });
  await send(fleet, all.slice(5, 7));
  // The copy goes on from its own sixth entry: neither that nor what follows it is let in among the first box's.
  expect(await send(fleet, copy)).toMatchObject({ upTo: 7, setAside: [6, 7, 8, 9] });
  expect((await send(fleet, all.slice(7))).upTo).toBe(all.length);
  const straight = await base.newFleet();
  await send(straight, all);
  const money = (f: string) => base.db.as(f, (tx) => tx.rows('select id, volume, amount, state from fill order by id'));
  expect(await money(fleet)).toEqual(await money(straight));
  const aside = await base.db.as(fleet, (tx) => tx.rows("select seq from entry where epoch like '1~%' order by seq"));
  expect(aside).toEqual([{ seq: 6 }, { seq: 7 }, { seq: 8 }, { seq: 9 }]);
});
