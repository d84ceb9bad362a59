import { cpSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Entry } from '@fillwright/core/island';
import { openJournal } from '@fillwright/journal';
import { afterEach, expect, test } from 'vitest';
import { identityIn } from './box/identity.ts';
import { startSite } from './site.ts';
import { armed, draw, hoseState, type Rig, rig } from './testing/rig.ts';
import { CARD, world } from './testing/world.ts';

function journalOf(folder: string): Entry[] {
  const identity = identityIn(folder, () => 'never');
  if (!identity.ok) throw new Error('no keys');
  const opened = openJournal({ path: join(folder, 'journal.db'), box: identity.value.box, newEpoch: () => 'never' });
  if (!opened.ok) throw new Error(opened.error.cause);
  const entries = opened.value.entries(1, opened.value.last());
  opened.value.close();
  return entries.map((e) => JSON.parse(Buffer.from(e.payload).toString('utf8')) as Entry);
}

let r: Rig;
afterEach(() => r.end());

async function running(maxJournalBytes?: number): Promise<void> {
  r = await rig();
  r.office.offer(r.office.bundle(world(), 1));
  await r.boot(maxJournalBytes === undefined ? {} : { maxJournalBytes });
  await r.until('a running release', () => r.site.view().running === 1);
  await r.flow('a free hose', () => hoseState(r, 'h1') === 'idle');
}

test('power lost in mid-fill: the fill is ended with its last durable count, and it counts', async () => {
  await running();
  await armed(r, CARD.ada);
  r.yard.lift('h1');
  await r.run(500);
  r.yard.squeeze('h1', 1);
  await r.run(8_000);
  const quantity = Number.parseFloat(r.site.view().hoses[0]?.quantity ?? '0');
  expect(quantity).toBeGreaterThan(1);
  // The folder as the power cut leaves it: what is durable, and nothing of what the box would still have done.
  const cut = mkdtempSync(join(tmpdir(), 'fillwright-cut-'));
  cpSync(r.dir, cut, { recursive: true });
  await r.until('the fill at the office', () =>
    r.journal().some((e) => e.kind === 'checkpoint' && e.step === 'flowing'),
  );
  const counts = r.yard.look().hoses.h1?.count ?? 0;
  const stopping = r.site.stop();
  await r.run(5_000);
  await stopping;
  r.office.entries.length = 0;
  await r.boot({ dataDir: cut });
  await r.flow('a free hose', () => hoseState(r, 'h1') === 'idle');
  expect(counts).toBeGreaterThan(0);
  await armed(r, CARD.ada);
  // Fifteen gallons a day, less what the cut fill is known to have drawn.
  const limit = Number.parseFloat(r.site.view().hoses[0]?.limit ?? '0');
  expect(limit).toBe(10);
  await draw(r, 'h1');
  await r.flow('an idle terminal', () => r.screen() === 'idle');
  await armed(r, CARD.ada);
  expect(Number.parseFloat(r.site.view().hoses[0]?.limit ?? '0')).toBeLessThan(15 - 10 - 1);
  const stoppingAgain = r.site.stop();
  await r.run(5_000);
  await stoppingAgain;
  const entries = journalOf(cut);
  const ends = entries.flatMap((e) => (e.kind === 'ended' ? [e] : []));
  const last = entries.findLast((e) => e.kind === 'checkpoint' && e.fill === ends[0]?.fill);
  expect(ends[0]).toMatchObject({ reason: 'powerLoss', pulses: (last as { pulses: number }).pulses });
  expect(ends[0]?.ul).toBeGreaterThan(3_785_412);
  // What flowed after the last durable count is told by an alarm, so that no pulse is lost.
  expect(entries).toContainEqual(expect.objectContaining({ kind: 'alarm', alarm: 'pulsesWhileOff', hose: 'h1' }));
  rmSync(cut, { recursive: true });
});

test('a box that is stopped in mid-fill ends the fill and writes it down first', async () => {
  await running();
  await armed(r, CARD.ada);
  r.yard.lift('h1');
  await r.run(500);
  r.yard.squeeze('h1', 1);
  await r.run(3_000);
  const stopping = r.site.stop();
  await r.run(8_000);
  await stopping;
  await r.boot();
  await r.both('the end at the office', () => r.journal().some((e) => e.kind === 'ended'));
  expect(r.journal().filter((e) => e.kind === 'ended')).toEqual([expect.objectContaining({ reason: 'service' })]);
});

test('receipts are printed again after a restart', async () => {
  await running();
  await armed(r, CARD.ada);
  await draw(r, 'h1', 10);
  await r.flow('an idle terminal', () => r.screen() === 'idle');
  // A second fill, the next day.
  await r.run(86_400_000);
  await armed(r, CARD.ada, '2');
  await draw(r, 'h2', 5);
  await r.flow('an idle terminal', () => r.screen() === 'idle');
  await r.site.stop();
  await r.boot();
  await r.run(1_000);
  const token = /name="page-token" content="([^"]+)"/.exec(await (await fetch(r.site.url)).text())?.[1] ?? '';
  const receipt = (fill?: string) =>
    fetch(`${r.site.url}/api/act`, {
      method: 'POST',
      headers: { 'content-type': 'application/json', 'x-page-token': token },
      body: JSON.stringify({ do: 'receipt', terminal: 'term', ...(fill === undefined ? {} : { fill }) }),
    });
  const paper = () => r.site.view().terminals[0]?.paper.join('\n') ?? '';
  expect((await receipt()).status).toBe(204);
  expect(paper()).toContain('Wharf Yard');
  expect(paper()).toContain('DIESEL');
  expect(paper()).toContain('Ada Wharfside');
  // By date: both days are offered, newest first, and the older fill is printed when it is asked for.
  const offered = r.site.view().terminals[0]?.receipts ?? [];
  expect(offered.map((o) => [o.day, o.hose])).toEqual([
    ['2026-06-11', 2],
    ['2026-06-10', 1],
  ]);
  const older = offered[1]?.fill ?? '';
  expect(paper()).toContain('2026-06-11');
  expect((await receipt(older)).status).toBe(204);
  expect(paper()).toContain('2026-06-10');
  await receipt('wharf.none.1');
  expect(r.screen()).toBe('noReceipt');
});

test('a second box on the same folder is refused', async () => {
  await running();
  const second = await startSite({
    dataDir: r.dir,
    clock: r.clock,
    yard: () => Promise.reject(new Error('never')) as never,
  });
  expect(second).toMatchObject({ ok: false, error: { code: 'FW-605' } });
});

test('a full disk: no new fill, the display says so, and a fill that flows is stopped', async () => {
  await running(120_000);
  r.office.acks = false;
  let full = false;
  for (let i = 0; i < 60 && !full; i++) {
    await armed(r, i % 2 ? CARD.ada : CARD.bo);
    if (r.screen() === 'authorised') await draw(r, 'h1', 2);
    full = r.site.view().troubles.some((t) => t.startsWith('FW-601'));
    if (!full) await r.flow('an idle terminal', () => r.screen() === 'idle');
  }
  expect(full).toBe(true);
  await r.flow('a closed terminal', () => r.screen() === 'out');
  expect(r.site.view().terminals[0]?.lines.join(' ')).toContain('recorded');
  expect(Object.values(r.yard.look().hoses).every((h) => !h.open)).toBe(true);
});
