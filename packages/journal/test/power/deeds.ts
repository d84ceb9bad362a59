import { createHash } from 'node:crypto';

/** What the child process does to its journal, one after another, and what must then be on the disk, worked out without the journal. */
export type Deed =
  | { readonly do: 'append'; readonly entries: number }
  | { readonly do: 'acknowledge'; readonly seq: number }
  | { readonly do: 'trim'; readonly seq: number }
  | { readonly do: 'reopen' };

/** What a journal holds after some deeds. */
export interface Book {
  readonly last: number;
  readonly acknowledged: number;
  readonly anchor: number;
}

/** The most frames in a log before it is copied into the file: small, so that it happens many times. */
export const CHECKPOINT_PAGES = 14;
export const BOX = 'box-1';
export const EPOCH = 'epoch-1';

/** Fills of all lengths, some over several pages, several at once, with acknowledging, trimming and a clean end between. */
export function deedsOf(count: number): Deed[] {
  const deeds: Deed[] = [];
  let last = 0;
  for (let n = 1; deeds.length < count; n++) {
    const entries = n % 7 === 0 ? 3 : 1;
    deeds.push({ do: 'append', entries });
    last += entries;
    if (n % 5 === 0) deeds.push({ do: 'acknowledge', seq: last - 1 });
    if (n % 9 === 0) deeds.push({ do: 'trim', seq: last - 3 });
    if (n % 8 === 0) deeds.push({ do: 'reopen' });
  }
  return deeds.slice(0, count);
}

export const payloadOf = (seq: number): string => `fill ${seq} ${'v'.repeat(seq % 6 === 0 ? 5_000 : (seq * 37) % 300)}`;

/** Milliseconds UTC. */
export const atOf = (seq: number): number => 1_000 * seq;

/** The book after each deed: element 0 is the empty one. */
export function booksOf(deeds: readonly Deed[]): Book[] {
  const books: Book[] = [{ last: 0, acknowledged: 0, anchor: 0 }];
  for (const deed of deeds) {
    const before = books.at(-1) as Book;
    if (deed.do === 'append') books.push({ ...before, last: before.last + deed.entries });
    else if (deed.do === 'acknowledge') books.push({ ...before, acknowledged: deed.seq });
    else if (deed.do === 'trim') books.push({ ...before, anchor: Math.min(deed.seq, before.acknowledged) });
    else books.push(before);
  }
  return books;
}

/** The chain as `src/chain.ts` documents it, reckoned here anew: element n is the hash of entry n. */
export function hashesTo(last: number): string[] {
  const sized = (field: string): Buffer => {
    const length = Buffer.alloc(4);
    length.writeUInt32BE(Buffer.byteLength(field));
    return Buffer.concat([length, Buffer.from(field)]);
  };
  let hash = createHash('sha256')
    .update(Buffer.concat(['journal 1', BOX, EPOCH].map(sized)))
    .digest();
  const hashes = [hash.toString('hex')];
  for (let seq = 1; seq <= last; seq++) {
    const head = Buffer.alloc(16);
    head.writeBigInt64BE(BigInt(seq), 0);
    head.writeBigInt64BE(BigInt(atOf(seq)), 8);
    hash = createHash('sha256').update(hash).update(head).update(payloadOf(seq)).digest();
    hashes.push(hash.toString('hex'));
  }
  return hashes;
}
