import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type JournalPort, openJournal } from '@fillwright/journal';
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { emptyDisk } from './disk.ts';
import { openMemoryJournal } from './journal.ts';

/** The journal in memory answers every call as the real one does: the simulation stands on it. */
const step = fc.oneof(
  fc.record({ do: fc.constant('append' as const), text: fc.string({ maxLength: 40 }), at: fc.nat(1_000) }),
  fc.record({ do: fc.constant('both' as const), key: fc.constantFrom('a', 'b'), text: fc.string({ maxLength: 9 }) }),
  fc.record({
    do: fc.constant('set' as const),
    key: fc.constantFrom('a', 'b'),
    text: fc.option(fc.string(), { nil: undefined }),
  }),
  fc.record({ do: fc.constant('ack' as const), seq: fc.nat(30) }),
  fc.record({ do: fc.constant('trim' as const), seq: fc.nat(30), at: fc.nat(1_200) }),
  fc.record({ do: fc.constant('look' as const), from: fc.nat(20), most: fc.integer({ min: 1, max: 9 }) }),
  fc.record({ do: fc.constant('reopen' as const) }),
);
type Step = typeof step extends fc.Arbitrary<infer T> ? T : never;

const plain = (r: { ok: true; value: unknown } | { ok: false; error: { code: string } }) =>
  r.ok ? r.value : r.error.code;
function told(journal: JournalPort, s: Step): unknown {
  if (s.do === 'append') return plain(journal.append(s.text, s.at));
  if (s.do === 'both') return plain(journal.setWith({ [s.key]: s.text }, s.text, 7));
  if (s.do === 'set') return plain(journal.set(s.key, s.text));
  if (s.do === 'ack') return plain(journal.acknowledge(s.seq));
  if (s.do === 'trim') return plain(journal.trim(s.seq, s.at));
  if (s.do === 'reopen') return plain(journal.reopen());
  return [
    journal.unacknowledged(s.from, s.most).map((e) => [e.seq, e.atMs, e.hash]),
    journal.entries(s.from, s.from + s.most).map((e) => Buffer.from(e.payload).toString()),
  ];
}
const outside = (j: JournalPort) => [
  j.epoch,
  j.headHash,
  j.last(),
  j.acknowledged(),
  j.anchor(),
  j.get('a'),
  j.get('b'),
];

it('answers as the real one', () => {
  const folder = mkdtempSync(join(tmpdir(), 'sim-journal-'));
  let n = 0;
  try {
    fc.assert(
      fc.property(fc.array(step, { maxLength: 25 }), (steps) => {
        const whose = { box: 'b', newEpoch: () => 'e' };
        const real = openJournal({ ...whose, path: join(folder, `${n++}.db`) });
        const model = openMemoryJournal(
          emptyDisk(() => 'ok'),
          whose,
        );
        if (!real.ok || !model.ok) throw new Error('cannot be opened');
        for (const s of steps) {
          expect(told(model.value, s)).toEqual(told(real.value, s));
          expect(outside(model.value)).toEqual(outside(real.value));
        }
        real.value.close();
      }),
      { seed: 4, numRuns: 25 },
    );
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
});
