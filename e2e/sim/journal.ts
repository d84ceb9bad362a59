import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import { type Entry, type JournalPort, MAX_PAYLOAD_BYTES, type StateWrites } from '@fillwright/journal';
import { entryHash, genesisHash } from '../../packages/journal/src/chain.ts';
import { type Disk, type JournalRows, write } from './disk.ts';

/**
 * A journal with the promises of the real one, on a disk in memory whose writes have a fate. `journal.test.ts` holds it against the real
 * one, call by call. An append either is on the disk whole, or not; what it answers is told apart from what is there.
 */
export function openMemoryJournal(
  disk: Disk,
  whose: { readonly box: string; readonly newEpoch: () => string },
): Result<JournalPort, Problem> {
  const path = 'memory';
  let here: JournalRows;
  if (disk.journal) here = disk.journal;
  else {
    const epoch = whose.newEpoch();
    const hash = genesisHash(whose.box, epoch);
    const rows = {
      box: whose.box,
      epoch,
      entries: [],
      state: new Map<string, string>(),
      last: 0,
      hash,
      acknowledged: 0,
      anchor: 0,
      anchorHash: hash,
    };
    const done = write(disk, () => {
      disk.journal = rows;
    });
    if (done !== 'ok') return err(problem('FW-601', { at: { in: path, field: 'opening' } }));
    here = rows;
  }
  if (here.box !== whose.box) return err(problem('FW-607', { at: { in: path }, found: here.box, expected: whose.box }));
  let damage: Problem | undefined;
  let doubt: Problem | undefined;
  let attempted = 0;
  const refusal = () => damage ?? doubt;

  function commit(doing: string, adds: number, next: JournalRows): Result<void, Problem> {
    const trouble = refusal();
    if (trouble) return err(trouble);
    const done = write(disk, () => {
      disk.journal = next;
    });
    if (done === 'ok') {
      here = next;
      return ok(undefined);
    }
    attempted = adds;
    doubt = problem('FW-601', { at: { in: path, field: doing }, found: done });
    return err(doubt);
  }
  function stateAfter(writes: StateWrites): JournalRows['state'] {
    const keys = Object.keys(writes);
    if (keys.length === 0) return here.state;
    const state = new Map(here.state);
    for (const key of keys) {
      const value = writes[key];
      if (value === undefined) state.delete(key);
      else state.set(key, value);
    }
    return state;
  }
  function append(
    items: readonly { readonly payload: Uint8Array | string; readonly atMs: number }[],
    writes: StateWrites,
  ): ReturnType<JournalPort['append']> {
    for (const { payload, atMs } of items)
      if (!Number.isSafeInteger(atMs) || Buffer.byteLength(payload) > MAX_PAYLOAD_BYTES)
        return err(problem('FW-801', { found: String(atMs) }));
    let { last, hash } = here;
    const added = items.map(({ payload, atMs }): Entry => {
      const bytes = typeof payload === 'string' ? Buffer.from(payload, 'utf8') : Buffer.from(payload);
      hash = entryHash(hash, ++last, atMs, bytes);
      return { seq: last, atMs, payload: bytes, hash: hash.toString('hex') };
    });
    const next = { ...here, entries: here.entries.concat(added), state: stateAfter(writes), last, hash };
    const done = commit('appending', items.length, next);
    return done.ok ? ok({ seq: last, hash: hash.toString('hex') }) : done;
  }
  const between = (from: number, to: number): Entry[] => {
    const first = here.anchor + 1;
    return here.entries.slice(Math.max(0, from - first), Math.max(0, to - first + 1));
  };

  return ok({
    get epoch() {
      return here.epoch;
    },
    get headHash() {
      return here.hash.toString('hex');
    },
    get refusal() {
      return refusal();
    },
    last: () => here.last,
    acknowledged: () => here.acknowledged,
    anchor: () => ({ seq: here.anchor, hash: here.anchorHash.toString('hex') }),
    append: (payload, atMs) => append([{ payload, atMs }], {}),
    appendAll: (items, writes = {}) => append(items, writes),
    setWith: (writes, payload, atMs) => append([{ payload, atMs }], writes),
    set: (key, value) => commit('setting a state value', 0, { ...here, state: stateAfter({ [key]: value }) }),
    setAll: (writes) => commit('setting a state value', 0, { ...here, state: stateAfter(writes) }),
    get: (key) => here.state.get(key),
    unacknowledged(after, max) {
      const from = Math.max(after, here.acknowledged) + 1;
      return between(from, Math.min(here.last, from + max - 1));
    },
    entries: between,
    acknowledge(seq) {
      if (!Number.isSafeInteger(seq) || seq < 0) return err(problem('FW-801', { found: String(seq) }));
      if (seq > here.last) return err(problem('FW-607', { at: { in: path }, found: `acknowledged up to ${seq}` }));
      if (seq <= here.acknowledged) {
        const trouble = refusal();
        return trouble ? err(trouble) : ok(here.acknowledged);
      }
      const done = commit('acknowledging', 0, { ...here, acknowledged: seq });
      return done.ok ? ok(seq) : done;
    },
    trim(upToSeq, olderThanMs) {
      let to = here.anchor;
      for (const row of here.entries) {
        if (row.seq > Math.min(upToSeq, here.acknowledged) || row.atMs >= olderThanMs) break;
        to = row.seq;
      }
      const gone = to - here.anchor;
      const anchorHash = gone > 0 ? Buffer.from(between(to, to)[0]?.hash ?? '', 'hex') : here.anchorHash;
      const done = commit('trimming', 0, { ...here, entries: here.entries.slice(gone), anchor: to, anchorHash });
      return done.ok ? ok(gone) : done;
    },
    verify() {
      let previous = here.anchorHash;
      for (const row of here.entries) {
        previous = entryHash(previous, row.seq, row.atMs, row.payload);
        if (previous.toString('hex') !== row.hash) {
          damage ??= problem('FW-602', { at: { in: path, row: row.seq } });
          return err(damage);
        }
      }
      return ok(here.entries.length);
    },
    reopen() {
      if (damage) return err(damage);
      const found = disk.journal as JournalRows;
      const grown = found.last - here.last;
      const follows = grown === 0 ? found.hash : entryBefore(found, here.last + 1);
      if (grown < 0 || grown > attempted || found.acknowledged < here.acknowledged || !follows?.equals(here.hash)) {
        damage = problem('FW-602', { at: { in: path, row: here.last } });
        return err(damage);
      }
      here = found;
      doubt = undefined;
      attempted = 0;
      return ok({ surplus: grown });
    },
    close() {},
  });
}

function entryBefore(rows: JournalRows, seq: number): Buffer | undefined {
  if (seq - 1 === rows.anchor) return rows.anchorHash;
  const row = rows.entries[seq - 1 - rows.anchor - 1];
  return row && Buffer.from(row.hash, 'hex');
}
