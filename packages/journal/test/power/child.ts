import { openSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { type Journal, openJournal } from '../../src/index.ts';
import { atOf, BOX, type Book, booksOf, CHECKPOINT_PAGES, type Deed, deedsOf, EPOCH, payloadOf } from './deeds.ts';

/**
 * Does `count` deeds to the journal of a folder, and marks each in a file beside it when the journal has answered. What is refused ends it, after a
 * look at whether the journal keeps to that; unless it is to `mend`: then it reopens and goes on, as a box does; or to `die`: then it is killed at
 * once. A journal that is there already is gone on with.
 */
const [folder = '', count = '0', how = 'stop'] = process.argv.slice(2);
const marks = openSync(join(folder, 'marks'), 'a');
const mark = (text: string): void => void writeSync(marks, `${text}\n`);
const deeds = deedsOf(Number(count));
const books = booksOf(deeds);

function opened(): Journal {
  const result = openJournal({
    path: join(folder, 'journal.db'),
    box: BOX,
    newEpoch: () => EPOCH,
    checkpointPages: CHECKPOINT_PAGES,
  });
  if (result.ok) return result.value;
  mark(`unopened ${result.error.code}`);
  process.exit(4);
}

let journal = opened();
mark('opened');

function perform(deed: Deed, before: Book): string | undefined {
  if (deed.do === 'reopen') {
    journal.close();
    journal = opened();
    return journal.refusal?.code;
  }
  if (deed.do === 'acknowledge') return codeOf(journal.acknowledge(deed.seq));
  if (deed.do === 'trim') return codeOf(journal.trim(deed.seq, Number.MAX_SAFE_INTEGER));
  const seqs = Array.from({ length: deed.entries }, (_, i) => before.last + 1 + i);
  const to = seqs.at(-1) ?? 0;
  if (seqs.length === 1) return codeOf(journal.setWith({ counter: String(to) }, payloadOf(to), atOf(to)));
  return codeOf(journal.appendAll(seqs.map((seq) => ({ payload: payloadOf(seq), atMs: atOf(seq) }))));
}

const codeOf = (result: { ok: true } | { ok: false; error: { code: string } }): string | undefined =>
  result.ok ? undefined : result.error.code;

const is = (book: Book): boolean =>
  journal.last() === book.last && journal.acknowledged() === book.acknowledged && journal.anchor().seq === book.anchor;

const begun = books.findLastIndex(is);
if (begun < 0) throw new Error('a journal of no deed');
if (begun > 0) mark(`done ${begun}`);

for (const [i, deed] of deeds.entries()) {
  if (i < begun) continue;
  const [before, after] = [books[i] as Book, books[i + 1] as Book];
  for (;;) {
    const refused = perform(deed, before);
    if (refused === undefined) break;
    mark(`refused ${i + 1} ${refused}`);
    if (how === 'die') process.kill(process.pid, 'SIGKILL');
    if (how !== 'mend') {
      // It must keep to its refusal, and what it has must be readable.
      const again = codeOf(journal.append('one more', 0));
      const kept = journal.entries(before.anchor + 1, before.last).length;
      mark(`then ${again ?? 'taken'} kept ${kept === before.last - before.anchor ? 'all' : kept}`);
      process.exit(3);
    }
    const again = journal.reopen();
    mark(again.ok ? `reopened ${again.value.surplus}` : `unmended ${again.error.code}`);
    if (again.ok && is(after) && !is(before)) break;
  }
  mark(`done ${i + 1}`);
}
journal.close();
mark('closed');
