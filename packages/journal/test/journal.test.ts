import { createHash } from 'node:crypto';
import { copyFileSync, existsSync, mkdirSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { MAX_PAYLOAD_BYTES, openJournal } from '../src/index.ts';
import { code, freshFolder, open, options, text, value } from './folder.ts';

const file = () => join(freshFolder(), 'journal.db');

describe('appending', () => {
  it('numbers entries from 1 and chains them as documented', () => {
    const journal = open(file());
    const before = Buffer.from(journal.headHash, 'hex');
    expect(value(journal.append('one', 1_000)).seq).toBe(1);
    const first = journal.entries(1, 1)[0];
    const head = Buffer.alloc(16);
    head.writeBigInt64BE(1n, 0);
    head.writeBigInt64BE(1_000n, 8);
    const expected = createHash('sha256').update(before).update(head).update('one').digest('hex');
    expect(first?.hash).toBe(expected);
    expect(journal.headHash).toBe(expected);
    expect(value(journal.append(new Uint8Array([0, 255, 7]), -5)).seq).toBe(2);
    expect(journal.entries(2, 2)[0]).toMatchObject({ seq: 2, atMs: -5 });
    expect([...(journal.entries(2, 2)[0]?.payload ?? [])]).toEqual([0, 255, 7]);
    expect(value(journal.verify())).toBe(2);
    journal.close();
  });

  it('has every entry, acknowledgement and state value after opening again', () => {
    const path = file();
    const journal = open(path);
    for (let i = 1; i <= 20; i++) value(journal.append(`entry ${i}`, i));
    value(journal.acknowledge(7));
    value(journal.set('bundle', '41'));
    value(journal.setWith({ 'pin/a': '3', bundle: undefined }, 'locked', 21));
    const hash = journal.headHash;
    journal.close();
    const again = open(path);
    expect([again.last(), again.acknowledged(), again.headHash, again.epoch]).toEqual([21, 7, hash, 'epoch-1']);
    expect(again.get('bundle')).toBeUndefined();
    expect(again.get('pin/a')).toBe('3');
    expect(again.unacknowledged(0, 3).map((e) => text(e.payload))).toEqual(['entry 8', 'entry 9', 'entry 10']);
    expect(again.unacknowledged(19, 10).map((e) => e.seq)).toEqual([20, 21]);
    again.close();
  });

  it('writes several entries or none', () => {
    const journal = open(file());
    expect(value(journal.appendAll([1, 2, 3].map((i) => ({ payload: String(i), atMs: i })))).seq).toBe(3);
    const mixed = [
      { payload: 'good', atMs: 4 },
      { payload: 'bad', atMs: 4.5 },
    ];
    expect(code(journal.appendAll(mixed))).toBe('FW-801');
    expect(code(journal.append(new Uint8Array(MAX_PAYLOAD_BYTES + 1), 4))).toBe('FW-801');
    expect(journal.last()).toBe(3);
    expect(code(journal.append(new Uint8Array(MAX_PAYLOAD_BYTES), 4))).toBe('ok');
    journal.close();
  });
});

describe('acknowledging and trimming', () => {
  it('never goes back and never beyond the last entry', () => {
    const journal = open(file());
    for (let i = 1; i <= 5; i++) value(journal.append('x', i));
    expect(value(journal.acknowledge(3))).toBe(3);
    expect(value(journal.acknowledge(2))).toBe(3);
    expect(journal.acknowledged()).toBe(3);
    expect(code(journal.acknowledge(6))).toBe('FW-607');
    expect(code(journal.acknowledge(-1))).toBe('FW-801');
    expect(journal.acknowledged()).toBe(3);
    journal.close();
  });

  it('trims only what is acknowledged, old and in a row, and the rest is still provable', () => {
    const path = file();
    const journal = open(path);
    // The clock went back between entries 3 and 4.
    for (const at of [10, 20, 90, 30, 40, 50]) value(journal.append(`at ${at}`, at));
    const third = journal.entries(3, 3)[0]?.hash;
    value(journal.acknowledge(5));
    expect(value(journal.trim(6, 60))).toBe(2);
    expect(value(journal.trim(6, 60))).toBe(0);
    expect(value(journal.trim(3, 1000))).toBe(1);
    expect(journal.anchor()).toEqual({ seq: 3, hash: third });
    expect(value(journal.trim(6, 1000))).toBe(2);
    expect(journal.entries(1, 100).map((e) => e.seq)).toEqual([6]);
    expect(value(journal.verify())).toBe(1);
    value(journal.acknowledge(6));
    expect(value(journal.trim(6, 1000))).toBe(1);
    journal.close();
    const again = open(path);
    expect([again.last(), value(again.verify())]).toEqual([6, 0]);
    expect(value(again.append('seventh', 70)).seq).toBe(7);
    expect(value(again.verify())).toBe(1);
    again.close();
  });
});

describe('whose journal it is', () => {
  it('is held by one at a time', () => {
    const path = file();
    const journal = open(path);
    expect(code(openJournal(options(path)))).toBe('FW-605');
    journal.close();
    open(path).close();
  });

  it('refuses another box or another epoch and leaves the file as it is', () => {
    const path = file();
    const journal = open(path, { epoch: 'told by the office' });
    value(journal.append('x', 1));
    journal.close();
    expect(code(openJournal(options(path, { box: 'box-2' })))).toBe('FW-607');
    expect(code(openJournal(options(path, { epoch: 'epoch-2' })))).toBe('FW-607');
    const again = open(path);
    expect([again.epoch, again.last()]).toEqual(['told by the office', 1]);
    again.close();
  });

  it('chains of two boxes or epochs differ from the start', () => {
    const hashes = [
      { box: 'a', epoch: 'bc' },
      { box: 'ab', epoch: 'c' },
      { box: 'a', epoch: 'b' },
    ].map((who) => {
      const journal = open(file(), who);
      const hash = journal.headHash;
      journal.close();
      return hash;
    });
    expect(new Set(hashes).size).toBe(3);
  });

  it('says what is wrong with a folder or file that is no journal', () => {
    const folder = freshFolder();
    expect(code(openJournal(options(join(folder, 'nowhere', 'journal.db'))))).toBe('FW-903');
    const noise = join(folder, 'noise.db');
    writeFileSync(noise, 'this is no database at all, but it is long enough to look like one. '.repeat(40));
    expect(code(openJournal(options(noise)))).toBe('FW-602');
    expect(code(openJournal(options(folder)))).toBe('FW-601');
  });
});

describe('a disk that is full', () => {
  it('refuses with FW-601, stays in doubt, loses nothing, and goes on after reopening and trimming', () => {
    const path = file();
    const journal = open(path, { maxBytes: 40 * 4096 });
    let durable = 0;
    let refused = '';
    for (let i = 1; i <= 1000 && !refused; i++) {
      const result = journal.setWith({ counter: String(i) }, 'p'.repeat(900), i);
      if (result.ok) durable = result.value.seq;
      else refused = result.error.code;
    }
    expect(refused).toBe('FW-601');
    expect(durable).toBeGreaterThan(50);
    expect(journal.refusal?.code).toBe('FW-601');
    // Nothing more is taken, not even what would still find room.
    expect(code(journal.append('', 1))).toBe('FW-601');
    expect(code(journal.acknowledge(1))).toBe('FW-601');
    expect(journal.unacknowledged(0, 5000).length).toBe(durable);
    expect(value(journal.reopen())).toEqual({ surplus: 0 });
    expect([journal.last(), journal.get('counter'), value(journal.verify())]).toEqual([
      durable,
      String(durable),
      durable,
    ]);
    value(journal.acknowledge(40));
    expect(value(journal.trim(40, 5000))).toBe(40);
    expect(value(journal.append('q'.repeat(900), 2000)).seq).toBe(durable + 1);
    expect(value(journal.verify())).toBe(durable - 40 + 1);
    journal.close();
  });

  it('still gives its state values while it cannot be opened again, and all when it can', () => {
    const folder = freshFolder();
    const path = join(folder, 'kept', 'journal.db');
    mkdirSync(join(folder, 'kept'));
    const journal = open(path, { maxBytes: 20 * 4096 });
    for (let i = 1; journal.setWith({ counter: String(i) }, 'p'.repeat(900), i).ok; i++);
    const last = journal.last();
    renameSync(join(folder, 'kept'), join(folder, 'away'));
    for (let i = 0; i < 2; i++) {
      expect(journal.reopen().ok).toBe(false);
      expect([journal.get('counter'), journal.get('none'), journal.last()]).toEqual([String(last), undefined, last]);
      expect(journal.append('x', 1).ok).toBe(false);
      expect(() => journal.entries(1, 1)).toThrow('FW-');
    }
    renameSync(join(folder, 'away'), join(folder, 'kept'));
    expect(value(journal.reopen())).toEqual({ surplus: 0 });
    expect([journal.get('counter'), value(journal.verify())]).toEqual([String(last), last]);
    journal.close();
  });

  it('finds it out when the disk has lost what was reported durable', () => {
    const path = file();
    const journal = open(path, { maxBytes: 20 * 4096 });
    for (let i = 1; i <= 3; i++) value(journal.append('x', i));
    journal.close();
    copyFileSync(path, `${path}.old`);
    const second = open(path, { maxBytes: 20 * 4096 });
    for (let i = 4; i <= 6; i++) value(second.append('x', i));
    second.close();
    // The file goes back to an older state behind the journal's back.
    copyFileSync(`${path}.old`, path);
    expect(existsSync(`${path}-wal`)).toBe(false);
    expect(code(second.reopen())).toBe('FW-602');
    expect(second.refusal?.code).toBe('FW-602');
    expect(code(second.append('x', 7))).toBe('FW-602');
    expect(second.entries(1, 100).length).toBe(3);
    second.close();
  });
});
