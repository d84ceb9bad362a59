import { copyFileSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Entry, type Journal, openJournal } from '../src/index.ts';
import { freshFolder, open, options, text, value } from './folder.ts';

type Step =
  | { do: 'append'; payload: string; at: number; state: string | undefined }
  | { do: 'batch'; payloads: string[]; at: number }
  | { do: 'acknowledge'; share: number }
  | { do: 'trim'; share: number; before: number }
  | { do: 'reopen' };

const at = fc.integer({ min: 0, max: 50 });
const step: fc.Arbitrary<Step> = fc.oneof(
  {
    weight: 6,
    arbitrary: fc.record({
      do: fc.constant('append' as const),
      payload: fc.string(),
      at,
      state: fc.option(fc.string(), { nil: undefined }),
    }),
  },
  {
    weight: 2,
    arbitrary: fc.record({
      do: fc.constant('batch' as const),
      payloads: fc.array(fc.string(), { minLength: 1, maxLength: 5 }),
      at,
    }),
  },
  {
    weight: 3,
    arbitrary: fc.record({
      do: fc.constant('acknowledge' as const),
      share: fc.double({ min: 0, max: 1, noNaN: true }),
    }),
  },
  {
    weight: 2,
    arbitrary: fc.record({
      do: fc.constant('trim' as const),
      share: fc.double({ min: 0, max: 1, noNaN: true }),
      before: at,
    }),
  },
  { weight: 1, arbitrary: fc.record({ do: fc.constant('reopen' as const) }) },
);

/** What the journal must hold, kept as plainly as can be. */
interface Model {
  all: { payload: string; at: number }[];
  acknowledged: number;
  trimmed: number;
  state: string | undefined;
}

function play(journal: Journal, model: Model, s: Step): void {
  if (s.do === 'append') {
    value(journal.setWith({ k: s.state }, s.payload, s.at));
    model.all.push({ payload: s.payload, at: s.at });
    model.state = s.state;
  } else if (s.do === 'batch') {
    value(journal.appendAll(s.payloads.map((payload) => ({ payload, atMs: s.at }))));
    model.all.push(...s.payloads.map((payload) => ({ payload, at: s.at })));
  } else if (s.do === 'acknowledge') {
    const seq = Math.floor(s.share * model.all.length);
    model.acknowledged = Math.max(model.acknowledged, seq);
    expect(value(journal.acknowledge(seq))).toBe(model.acknowledged);
  } else if (s.do === 'trim') {
    const up = Math.floor(s.share * model.all.length);
    let to = model.trimmed;
    while (to < Math.min(up, model.acknowledged) && (model.all[to]?.at ?? Infinity) < s.before) to++;
    expect(value(journal.trim(up, s.before))).toBe(to - model.trimmed);
    model.trimmed = to;
  } else {
    expect(value(journal.reopen())).toEqual({ surplus: 0 });
  }
}

describe('the chain', () => {
  it('holds what was appended, whatever the order of appends, acknowledgements, trims and restarts', () => {
    const folder = freshFolder();
    let run = 0;
    fc.assert(
      fc.property(fc.array(step, { maxLength: 40 }), (steps) => {
        const path = join(folder, `run-${run++}.db`);
        const journal = open(path);
        const model: Model = { all: [], acknowledged: 0, trimmed: 0, state: undefined };
        for (const s of steps) play(journal, model, s);
        journal.close();
        const again = open(path);
        const kept = again.entries(1, model.all.length + 10);
        expect(kept.map((e) => [e.seq, text(e.payload), e.atMs])).toEqual(
          model.all.slice(model.trimmed).map((e, i) => [model.trimmed + i + 1, e.payload, e.at]),
        );
        expect([again.last(), again.acknowledged(), again.anchor().seq, again.get('k')]).toEqual([
          model.all.length,
          model.acknowledged,
          model.trimmed,
          model.state,
        ]);
        expect(again.unacknowledged(0, 1e6).length).toBe(model.all.length - model.acknowledged);
        expect(value(again.verify())).toBe(kept.length);
        again.close();
      }),
      { numRuns: 40, seed: 20261125 },
    );
  });
});

/** A closed journal with recognisable payloads, as one file. */
function writtenJournal(folder: string): { bytes: Buffer; entries: Entry[] } {
  const path = join(folder, 'whole.db');
  const journal = open(path);
  for (let i = 1; i <= 60; i++) value(journal.append(`payload ${String(i).padStart(4, '0')} ${'.'.repeat(i)}`, i));
  value(journal.acknowledge(50));
  value(journal.trim(5, 1000));
  value(journal.set('bundle', 'the seventh bundle'));
  journal.close();
  const again = open(path);
  const entries = again.entries(1, 100);
  again.close();
  return { bytes: readFileSync(path), entries };
}

function placesOf(bytes: Buffer, part: Uint8Array): number[] {
  const places: number[] = [];
  for (let at = bytes.indexOf(part); at >= 0; at = bytes.indexOf(part, at + 1)) places.push(at);
  return places;
}

describe('damage on the disk', () => {
  it('in any byte of any payload is found, with the number of the entry', () => {
    const folder = freshFolder();
    const { bytes, entries } = writtenJournal(folder);
    const damaged = join(folder, 'damaged.db');
    for (const entry of entries) {
      // The engine leaves old copies in the slack of its pages when it moves a row: all copies are changed at once.
      const copies = placesOf(bytes, entry.payload);
      expect(copies.length).toBeGreaterThan(0);
      // Every byte of the first and last entries, one moving byte of those between.
      const ends = entry.seq < 8 || entry.seq > 58;
      const offsets = ends ? [...entry.payload.keys()] : [entry.seq % entry.payload.length];
      for (const offset of offsets) {
        const copy = Buffer.from(bytes);
        for (const where of copies) copy[where + offset] = (copy[where + offset] ?? 0) ^ (1 << (offset % 8));
        writeFileSync(damaged, copy);
        const journal = open(damaged);
        const found = journal.verify();
        expect(found.ok ? 'nothing' : [found.error.code, found.error.at?.row]).toEqual(['FW-602', entry.seq]);
        journal.close();
      }
    }
  });

  it('opens for reading only, with all entries still readable', () => {
    const folder = freshFolder();
    const { bytes, entries } = writtenJournal(folder);
    const path = join(folder, 'damaged.db');
    for (const where of placesOf(bytes, Buffer.from('payload 0055'))) bytes[where + 3] = 0x21;
    writeFileSync(path, bytes);
    const journal = open(path);
    expect(journal.refusal?.code).toBe('FW-602');
    expect(journal.refusal?.at?.row).toBe(55);
    const refused = [journal.append('x', 1), journal.set('k', 'v'), journal.acknowledge(52), journal.trim(50, 99)];
    expect(refused.map((r) => (r.ok ? 'ok' : r.error.code))).toEqual(['FW-602', 'FW-602', 'FW-602', 'FW-602']);
    expect(journal.entries(1, 100).length).toBe(entries.length);
    // What is handed on for sending ends before the damage.
    expect(journal.unacknowledged(0, 100).map((e) => e.seq)).toEqual([51, 52, 53, 54]);
    journal.close();
  });

  it('anywhere in the file is either found or has changed nothing that is kept', () => {
    const folder = freshFolder();
    const { bytes, entries } = writtenJournal(folder);
    const path = join(folder, 'damaged.db');
    const before = JSON.stringify(entries.map((e) => [e.seq, e.atMs, e.hash, text(e.payload)]));
    let found = 0;
    let tried = 0;
    // A byte in every 53, and each of the first 120 (the file's own header).
    for (let at = 0; at < bytes.length; at += at < 120 ? 1 : 53) {
      for (const suffix of ['-wal', '-shm']) writeFileSync(path + suffix, '');
      const copy = Buffer.from(bytes);
      copy[at] = (copy[at] ?? 0) ^ (1 << (at % 8));
      writeFileSync(path, copy);
      tried++;
      const opened = openJournal(options(path));
      if (!opened.ok) {
        found++;
        continue;
      }
      const journal = opened.value;
      const checked = journal.verify();
      if (!checked.ok) found++;
      else {
        const after = journal.entries(1, 100).map((e) => [e.seq, e.atMs, e.hash, text(e.payload)]);
        expect(JSON.stringify(after)).toBe(before);
        expect([journal.last(), journal.acknowledged(), journal.get('bundle')]).toEqual([60, 50, 'the seventh bundle']);
      }
      journal.close();
    }
    expect(found).toBeGreaterThan(tried / 10);
  });

  it('of a state value is found when it is read', () => {
    const folder = freshFolder();
    const { bytes } = writtenJournal(folder);
    const path = join(folder, 'damaged.db');
    for (const where of placesOf(bytes, Buffer.from('seventh bundle'))) bytes.write('eighth', where);
    writeFileSync(path, bytes);
    const journal = open(path);
    expect(() => journal.get('bundle')).toThrow('FW-602');
    expect(journal.refusal?.code).toBe('FW-602');
    journal.close();
  });

  it('of the last rows cannot hide: a shorter table is found', () => {
    const folder = freshFolder();
    const { bytes } = writtenJournal(folder);
    const path = join(folder, 'damaged.db');
    writeFileSync(path, bytes);
    copyFileSync(path, `${path}.copy`);
    const journal = open(path);
    journal.close();
    // The number of cells in a leaf page is at its byte 3: one entry less (SQLite file format, 1.6).
    const last = bytes.indexOf('payload 0060');
    const page = Math.floor(last / 4096) * 4096;
    const cells = bytes.readUInt16BE(page + 3);
    bytes.writeUInt16BE(cells - 1, page + 3);
    writeFileSync(path, bytes);
    const shorter = open(path);
    expect(shorter.refusal?.code).toBe('FW-602');
    expect(shorter.refusal?.at?.row).toBe(60);
    shorter.close();
  });
});
