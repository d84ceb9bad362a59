import { canonical } from '@fillwright/core/fleet';
import { type Entry, entrySchema } from '@fillwright/core/island';
import { call } from '@fillwright/wire';
import { chainHash } from '@fillwright/wire/chain';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { fillDraft, given, openOffice, releaseDraft, smallFleet, type TestOffice } from '../testing/office.ts';

let office: TestOffice;
beforeAll(async () => {
  office = await openOffice();
  await fillDraft(office);
  await releaseDraft(office);
});
afterAll(() => office?.stop());

const DAY = 86_400_000;
const L = 1_000_000;

/** A fill of lorry 1, whose tank holds 400 litres. */
const fill = (at: number, litres: number, seq: number): Entry[] => [
  {
    ...{ kind: 'authorised', at, terminal: 'k1', hose: 'h1', credentials: ['c1', 'c2'], driver: 'd1', vehicle: 'v1' },
    ...{ product: 'diesel', tanks: ['t1'], limitUl: 900 * L, by: 'per-day', steps: [], notes: [], charged: [] },
    ...{ answers: {}, price: null, unit: 'gal', pulsesPerMeasure: 100_000, limitPulses: 90_000, stopAtPulses: 90_000 },
    ...{ cutOff: false, revision: 1 },
  },
  {
    ...{
      kind: 'ended',
      at: at + 60_000,
      fill: `north.e1.${seq}`,
      hose: 'h1',
      reason: 'hung',
      pulses: 100,
      ul: litres * L,
    },
    ...{ amount: null, overPulses: 0, overUl: 0, armedAt: at, firstPulseAt: at, timers: [], curve: [] },
    ...{ lagPulses: null, count: null },
  },
];

async function take(entries: readonly Entry[]): Promise<void> {
  let hash = '00'.repeat(32);
  const chained = entries.map((entry, i) => {
    const text = canonical(entrySchema.parse(entry));
    hash = chainHash(hash, i + 1, entry.at, text);
    return { seq: i + 1, at: entry.at, hash, text };
  });
  expect((await office.hub.take(office.me.fleet, 'north', { epoch: 'e1', entries: chained })).setAside).toEqual([]);
}

test('what is unusual in the ledger is listed until a person has looked at it, and one may take that back', async () => {
  const { owner, clock } = office;
  const at = clock.at - 3 * DAY;
  expect(await given(call(owner, 'flags', {}))).toMatchObject({ flags: [] });
  await take([
    ...fill(at, 300, 1),
    ...fill(at + DAY, 500, 3),
    // A valve that leaks tells of itself every second: one flag of an hour's flow.
    { kind: 'alarm', at: at + DAY + 90_000, alarm: 'pulsesAfterClose', hose: 'h1', pulses: 250, count: 1000 },
    { kind: 'alarm', at: at + DAY + 91_000, alarm: 'strayPulses', hose: 'h1', pulses: 150, count: 1150 },
    { kind: 'alarm', at: at + DAY + 92_000, alarm: 'reversal', hose: 'h1', pulses: -5, count: 1145 },
  ]);
  const { flags } = await given(call(owner, 'flags', {}));
  expect(flags.map((f) => [f.code, f.site, f.looked])).toEqual([
    ['G10', 'north', null],
    ['G01', 'north', null],
  ]);
  expect(flags[0]?.text).toContain('4 gal');
  const id = flags[1]?.id as string;
  const looked = await given(call(owner, 'lookedAtFlag', { body: { flag: id, note: ' A second tank was fitted. ' } }));
  expect(looked).toEqual({ looked: { at: clock.at, by: 'Ada Quill', note: 'A second tank was fitted.' } });
  const after = await given(call(owner, 'flags', {}));
  expect(after.flags.find((f) => f.id === id)?.looked).toEqual(looked.looked);
  expect(after.flags.find((f) => f.code === 'G10')?.looked).toBeNull();

  // The roster is put right: the flag would not be found any more, yet what was looked at stays on the record.
  const draft = await given(call(owner, 'draft', {}));
  const put = smallFleet().find((e) => e.op === 'put' && e.row.id === 'v1');
  if (put?.op !== 'put') throw new Error('no lorry');
  const edits = [{ ...put, row: { ...put.row, capacity: 600 * L } as never }];
  await given(call(owner, 'editDraft', { body: { version: draft.version, edits } }));
  expect((await given(call(owner, 'flags', {}))).flags.find((f) => f.id === id)?.looked).toEqual(looked.looked);
  expect(await given(call(owner, 'lookedAtFlag', { body: { flag: id, note: null } }))).toEqual({ looked: null });
  expect((await given(call(owner, 'flags', {}))).flags.map((f) => f.code)).toEqual(['G10']);
  expect(await call(owner, 'lookedAtFlag', { body: { flag: id, note: 'x' } })).toMatchObject({
    error: { problem: { code: 'FW-771' } },
  });
  expect(await call(owner, 'flags', { query: { since: 5, until: 4 } })).toMatchObject({
    error: { problem: { code: 'FW-770' } },
  });
});
