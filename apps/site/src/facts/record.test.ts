import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { compile, type Policy } from '@fillwright/core/decide';
import type { Entry, EntryOf } from '@fillwright/core/island';
import { zoneTable } from '@fillwright/core/units';
import { openJournal } from '@fillwright/journal';
import { virtualClock } from '@fillwright/sim';
import { afterEach, expect, test } from 'vitest';
import { openSiteTime } from '../office/time.ts';
import { openUntold } from '../runner/untold.ts';
import { world } from '../testing/world.ts';
import { openRecord, type SiteRecord } from './record.ts';

const NOON = Date.UTC(2026, 5, 10, 12);
const DAY_MS = 86_400_000;
const folders: string[] = [];
afterEach(() => {
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true });
});

function newFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'fillwright-record-'));
  folders.push(folder);
  return folder;
}
const newRecord = (now: () => number = () => NOON): SiteRecord => recordIn(newFolder(), now);
function recordIn(folder: string, now: () => number, policy?: Policy): SiteRecord {
  const opened = openRecord({
    box: 'box-1',
    site: 'wharf',
    now,
    randomId: () => 'e1',
    policy: () => policy,
    openJournal: (whose) => openJournal({ ...whose, path: join(folder, 'journal.db'), maxBytes: 200_000 }),
  });
  if (!opened.ok) throw new Error(opened.error.cause);
  return opened.value;
}
const stray = (pulses: number, count: number, at = NOON): EntryOf<'alarm'> => ({
  kind: 'alarm',
  at,
  alarm: 'strayPulses',
  hose: 'h1',
  pulses,
  count,
});
const alarmsOf = (record: SiteRecord): Entry[] =>
  record
    .since(1)
    .map((p) => p.entry)
    .filter((e) => e.kind === 'alarm');

test('alarms that a full disk could not take are told when there is room, those of a kind as one', () => {
  const record = newRecord();
  const untold = openUntold(record);
  const told: number[] = [];
  let n = 0;
  for (; !record.journal.refusal; n++) {
    const alarm = stray(1, n + 1);
    if (record.append(alarm).ok) told.push(1);
    else untold.keep(alarm);
  }
  for (let i = 0; i < 50; i++, n++) untold.keep(stray(1, n + 1));
  expect(untold.tell()).toBe(false);
  // Room: what the office has and is old goes.
  expect(record.journal.reopen().ok).toBe(true);
  record.journal.acknowledge(record.journal.last() - 2);
  record.tidy(1, NOON + 3 * DAY_MS);
  expect(record.reopen()).toBe(true);
  expect(untold.tell()).toBe(true);
  const waited = alarmsOf(record).slice(2);
  expect(waited).toHaveLength(2);
  expect(told.length + waited.reduce((sum, e) => sum + (e.kind === 'alarm' ? (e.pulses ?? 0) : 0), 0)).toBe(n);
  expect(record.fills.kept.counts.h1).toBe(n);
  record.journal.close();
});

test('an alarm that is on the disk though its write was reported as failed is not told twice', () => {
  const record = newRecord();
  const untold = openUntold(record);
  const alarm = stray(4, 4);
  record.append(alarm);
  untold.keep(alarm);
  untold.keep(stray(2, 6));
  expect(untold.tell()).toBe(true);
  expect(alarmsOf(record).map((e) => (e.kind === 'alarm' ? e.pulses : 0))).toEqual([4, 2]);
  record.journal.close();
});

test('what a restored office lacks is not let go of, however old it is, until it has it again', () => {
  const record = newRecord();
  for (let n = 1; n <= 5; n++) record.append(stray(1, n));
  record.journal.acknowledge(5);
  record.officeLacks(record.journal.epoch, 2);
  record.tidy(1, NOON + 3 * DAY_MS);
  expect(record.journal.anchor().seq).toBe(2);
  record.officeHas(record.journal.epoch, 5);
  record.tidy(1, NOON + 3 * DAY_MS);
  expect(record.journal.anchor().seq).toBe(5);
  record.journal.close();
});

test('a clock that runs far ahead makes a box forget nothing of what was drawn', () => {
  let now = NOON;
  const record = newRecord(() => now);
  const total = { site: 'uphill', holder: 'driver:ada', allowance: 'daily', date: '2026-06-10', volume: 5, fills: 1 };
  expect(record.hearUsage([total]).ok).toBe(true);
  const had = record.journal.get('drawn:2026-06-10');
  expect(had).toContain('uphill');
  now = 2 * NOON;
  record.tidy(1, NOON);
  expect(record.journal.get('drawn:2026-06-10')).toBe(had);
  record.journal.close();
});

/** A fill by Ada, and what it comes to. */
function fillOf(at: number, limitUl: number): EntryOf<'authorised'> {
  const charged = [{ holder: 'driver:ada', allowance: 'daily' }];
  const who = {
    credentials: ['card-ada'],
    driver: 'ada',
    terminal: 'term',
    hose: 'h1',
    product: 'diesel',
    tanks: ['t1'],
  };
  const ruled = { limitUl, by: 'allowancePerFill', steps: [], notes: [], charged, answers: {}, price: null };
  const counted = { unit: 'gal', pulsesPerMeasure: 100_000, limitPulses: 1_000, stopAtPulses: 990 } as const;
  return { kind: 'authorised', at, ...who, ...ruled, ...counted, cutOff: false, revision: 1 };
}
function endOf(fill: string, at: number, ul: number): EntryOf<'ended'> {
  const nothing = { amount: null, overPulses: 0, overUl: 0, armedAt: null, firstPulseAt: null, lagPulses: null };
  const counted = { pulses: 1, ul, timers: [], curve: [], count: 1 };
  return { kind: 'ended', at, fill, hose: 'h1', reason: 'powerLoss', ...counted, ...nothing };
}

test('a box whose clock begins anew forgets nothing that was drawn, and counts it all once its clock is put right', () => {
  let now = NOON;
  const folder = newFolder();
  const policy = compile(world(), zoneTable);
  const drawn = (record: SiteRecord) => record.usage(false).used('driver:ada', 'daily', 'wharf', NOON)?.day;
  const total = (site: string, volume: number, fills: number) =>
    ({ site, holder: 'driver:ada', allowance: 'daily', date: '2026-06-10', volume, fills }) as const;
  const life = (): SiteRecord => {
    const record = recordIn(folder, () => now, policy);
    record.begin();
    return record;
  };
  const before = life();
  expect(before.hearUsage([total('uphill', 5, 1), total('downhill', 20, 2)]).ok).toBe(true);
  before.append(fillOf(NOON, 9_000));
  before.append(endOf(before.fills.kept.open[0]?.fill ?? '', NOON, 700));
  before.append(fillOf(NOON, 3_000));
  // Two at once: the open one counts with its whole limit.
  expect(drawn(before)).toBe(5 + 20 + 700 + 3_000);
  before.journal.close();

  // The power is cut and the battery of the clock is flat: the open fill ends, and what other sites tell still comes in.
  now = 0;
  const astray = life();
  astray.append(endOf(astray.fills.kept.open[0]?.fill ?? '', now, 40));
  expect(drawn(astray)).toBe(5 + 20 + 700 + 40);
  astray.journal.close();
  const again = life();
  expect(again.hearUsage([total('downhill', 30, 3)]).ok).toBe(true);
  expect(drawn(again)).toBe(5 + 30 + 700 + 40);
  again.journal.close();

  // The same once the office has told the time, and after one more start.
  now = NOON;
  const corrected = life();
  expect(drawn(corrected)).toBe(5 + 30 + 700 + 40);
  corrected.journal.close();
});

test('a clock that is put right while the box runs brings the totals of the right day back', () => {
  let now = 0;
  const policy = compile(world(), zoneTable);
  const folder = newFolder();
  const earlier = recordIn(folder, () => NOON, policy);
  earlier.hearUsage([
    { site: 'uphill', holder: 'driver:ada', allowance: 'daily', date: '2026-06-10', volume: 5, fills: 1 },
  ]);
  earlier.journal.close();
  const record = recordIn(folder, () => now, policy);
  const drawn = () => record.usage(false).used('driver:ada', 'daily', 'wharf', NOON)?.day;
  record.begin();
  expect(drawn()).toBeUndefined();
  // Not by the office, which finds it right when it tells the time: by the network, or a person.
  now = NOON;
  expect(drawn()).toBe(5);
  record.begin();
  expect(drawn()).toBe(5);
  record.journal.close();
});

test.each([
  ['told the time before', NOON],
  ['never told the time', undefined],
])(
  'totals that come while the clock runs far ahead count once it is put right, of an office that had %s',
  (_, told) => {
    let now = NOON;
    const record = recordIn(newFolder(), () => now, compile(world(), zoneTable));
    record.begin();
    if (told !== undefined) record.heard(told, now);
    now = NOON + 57 * 365 * DAY_MS;
    const total = { site: 'uphill', holder: 'driver:ada', allowance: 'daily', date: '2026-06-10', volume: 5, fills: 1 };
    expect(record.hearUsage([total]).ok).toBe(true);
    now = NOON;
    record.begin();
    expect(record.usage(false).used('driver:ada', 'daily', 'wharf', NOON)?.day).toBe(5);
    record.journal.close();
  },
);

test('nothing is let go of by a clock that the office has not confirmed', () => {
  const record = newRecord();
  const clock = virtualClock(NOON);
  const ahead = { pace: 1, now: () => clock.now() + 5 * DAY_MS, monotonic: clock.now, after: clock.after };
  const time = openSiteTime({ clock: ahead, record, alone: false });
  expect(time.sure).toBeUndefined();
  time.hear(NOON);
  clock.runUntil(NOON + 60_000);
  expect(time.sure).toBe(NOON + 60_000);
  expect(openSiteTime({ clock: ahead, record, alone: true }).sure).toBeGreaterThan(NOON);
  record.journal.close();
});
