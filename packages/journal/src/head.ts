import type Database from 'better-sqlite3';
import { genesisHash, sealOf } from './chain.ts';

/** How far the journal goes; one row, sealed as a whole. */
export interface Head {
  readonly box: string;
  readonly epoch: string;
  /** The last sequence number appended; 0 when none was. */
  readonly last: number;
  /** The hash of entry `last`, or of nothing yet. */
  readonly hash: Buffer;
  /** Every entry up to here is stored elsewhere. */
  readonly acknowledged: number;
  /** The last entry trimmed, 0 when none was, and its hash: what the first kept entry must follow. */
  readonly anchor: number;
  readonly anchorHash: Buffer;
}

export function newHead(box: string, epoch: string): Head {
  const hash = genesisHash(box, epoch);
  return { box, epoch, last: 0, hash, acknowledged: 0, anchor: 0, anchorHash: hash };
}

const sealOfHead = (h: Head): Buffer =>
  sealOf('head', h.box, h.epoch, h.last, h.hash, h.acknowledged, h.anchor, h.anchorHash);

interface Row {
  box: string;
  epoch: string;
  last: number;
  hash: Buffer;
  acknowledged: number;
  anchor: number;
  anchor_hash: Buffer;
  seal: Buffer;
}

/** The head and whether it matches its seal; undefined in a new journal. */
export function readHead(db: Database.Database): { readonly head: Head; readonly sealed: boolean } | undefined {
  const row = db.prepare<[], Row>('SELECT * FROM head').get();
  if (!row) return undefined;
  const { box, epoch, last, acknowledged, anchor } = row;
  // A damaged row can come back with other types than the table declares; such a head is not sealed.
  const blobs = [row.hash, row.anchor_hash, row.seal].every((blob) => Buffer.isBuffer(blob));
  if (!blobs) return { head: newHead(String(box), String(epoch)), sealed: false };
  const head = { box, epoch, last, hash: row.hash, acknowledged, anchor, anchorHash: row.anchor_hash };
  return { head, sealed: sealOfHead(head).equals(row.seal) };
}

/** A statement that writes the head within whatever transaction is open. */
export function headWriter(db: Database.Database): (head: Head) => void {
  const write = db.prepare('INSERT OR REPLACE INTO head VALUES (1, ?, ?, ?, ?, ?, ?, ?, ?)');
  return (h) => write.run(h.box, h.epoch, h.last, h.hash, h.acknowledged, h.anchor, h.anchorHash, sealOfHead(h));
}
