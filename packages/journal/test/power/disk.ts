import type { DataOp, NameOp, Op } from './recording.ts';

/**
 * A disk that loses its power, after the model of crash checkers of file systems (Pillai et al., 'All File Systems Are Not Created Equal', OSDI
 * 2014): what was synced is there; of what was not, any part may be. A file's name is on the disk when its folder was synced, its bytes and length when it was.
 * Beyond that model: a sync that failed leaves the pages it should have written clean, so that no later sync writes them (Rebello et al., 'Can
 * Applications Recover from fsync Failures?', USENIX ATC 2020).
 */
const PAGE = 4096;
const SECTOR = 512;

export type Image = ReadonlyMap<string, Buffer>;
type Random = () => number;

interface File {
  /** As the next sync would leave it. */
  cache: Buffer;
  durable: Buffer;
  pending: DataOp[];
  /** Pages that a failed sync has left behind, with all that may be on the disk in their place. */
  stuck: Map<number, Buffer[]>;
}

export interface Disk {
  names: Map<string, File>;
  durableNames: Map<string, File>;
  pendingNames: { readonly op: NameOp; readonly file: File | undefined }[];
}

export const emptyDisk = (): Disk => ({ names: new Map(), durableNames: new Map(), pendingNames: [] });

const fileOf = (bytes: Buffer): File => ({ cache: bytes, durable: bytes, pending: [], stuck: new Map() });

export function apply(disk: Disk, op: Op): void {
  if (op.op === 'mark') return;
  if (op.op === 'syncFolder') {
    disk.durableNames = new Map(disk.names);
    disk.pendingNames = [];
    return;
  }
  if (op.op === 'create' || op.op === 'unlink' || op.op === 'rename') {
    const file = op.op === 'create' ? fileOf(Buffer.alloc(0)) : disk.names.get(op.name);
    rename(disk.names, op, file);
    disk.pendingNames.push({ op, file });
    return;
  }
  const file = disk.names.get(op.name);
  if (!file) throw new Error(`no file ${op.name} to ${op.op}`);
  if (op.op === 'write' || op.op === 'size') {
    file.pending.push(op);
    file.cache = after(file.cache, op);
  } else if (op.op === 'sync') settle(file);
  else fail(file);
}

function rename(names: Map<string, File>, op: NameOp, file: File | undefined): void {
  if (op.op !== 'create') names.delete(op.name);
  const to = op.op === 'rename' ? op.to : op.name;
  if (op.op !== 'unlink' && file) names.set(to, file);
}

function after(bytes: Buffer, op: DataOp): Buffer {
  const size = op.op === 'size' ? op.size : Math.max(bytes.length, op.at + op.bytes.length);
  const next = Buffer.alloc(size);
  bytes.copy(next, 0, 0, Math.min(size, bytes.length));
  if (op.op === 'write') op.bytes.copy(next, op.at);
  return next;
}

const touched = (ops: readonly DataOp[]): Set<number> => {
  const pages = new Set<number>();
  for (const op of ops)
    if (op.op === 'write')
      for (let page = Math.floor(op.at / PAGE); page * PAGE < op.at + op.bytes.length; page++) pages.add(page);
  return pages;
};

function settle(file: File): void {
  for (const page of touched(file.pending)) file.stuck.delete(page);
  file.durable = file.cache;
  file.pending = [];
}

function fail(file: File): void {
  const versions = versionsOf(file);
  for (const page of touched(file.pending)) {
    const maybe = versions.map((v) => v.subarray(page * PAGE, (page + 1) * PAGE));
    file.stuck.set(page, [...(file.stuck.get(page) ?? []), ...maybe]);
  }
  file.durable = file.cache;
  file.pending = [];
}

/** The file as it was durable and after each write since. */
function versionsOf(file: File): Buffer[] {
  const versions = [file.durable];
  for (const op of file.pending) versions.push(after(versions.at(-1) as Buffer, op));
  return versions;
}

/** How many writes and names a power cut may keep or lose now. */
export const unsynced = (disk: Disk): number =>
  disk.pendingNames.length + filesOf(disk).reduce((sum, f) => sum + f.pending.length + f.stuck.size, 0);

const filesOf = (disk: Disk): File[] => [
  ...new Set([
    ...disk.durableNames.values(),
    ...disk.names.values(),
    ...disk.pendingNames.flatMap((n) => n.file ?? []),
  ]),
];

/** The image with those unsynced changes that `keep` takes, each whole. Changes of one name stay in their order. */
function chosen(disk: Disk, keep: () => boolean, bytes: (file: File) => Buffer): Map<string, Buffer> {
  const names = new Map(disk.durableNames);
  const lost = new Set<string>();
  for (const { op, file } of disk.pendingNames) {
    const both = op.op === 'rename' ? [op.name, op.to] : [op.name];
    if (keep() && !both.some((name) => lost.has(name))) rename(names, op, file);
    else for (const name of both) lost.add(name);
  }
  return new Map([...names].map(([name, file]) => [name, bytes(file)]));
}

export interface Effort {
  /** All subsets of up to so many unsynced changes. */
  readonly exhaustive: number;
  /** Images drawn at random beside them, at each place: subsets where there are too many, sectors torn, pages torn. */
  readonly samples: number;
}

/** Every image, or as many as the effort allows, that a power cut at this moment may leave. */
export function* imagesOf(disk: Disk, effort: Effort, random: Random): Generator<Image> {
  const files = filesOf(disk);
  const changes = disk.pendingNames.length + files.reduce((sum, f) => sum + f.pending.length, 0);
  const subset = (keep: (i: number) => boolean): Image => {
    let i = 0;
    const kept = new Map(files.map((f) => [f, f.pending.filter(() => keep(i++)).reduce(after, f.durable)] as const));
    return chosen(
      disk,
      () => keep(i++),
      (f) => unstuck(f, kept.get(f) ?? f.durable, random),
    );
  };
  if (changes <= effort.exhaustive)
    for (let bits = 0; bits < 2 ** changes; bits++) yield subset((i) => (bits & (1 << i)) !== 0);
  else {
    for (let n = 0; n <= changes; n++) yield subset((i) => i < n);
    for (let n = 0; n < changes; n++) {
      yield subset((i) => i !== n);
      yield subset((i) => i === n);
    }
    for (let n = 0; n < effort.samples; n++) yield subset(() => random() < 0.5);
  }
  // One write torn, all before it whole: after each of its sectors.
  for (const file of files)
    for (const [n, op] of file.pending.entries()) {
      if (op.op !== 'write') continue;
      const whole = file.pending.slice(0, n).reduce(after, file.durable);
      for (let end = SECTOR - (op.at % SECTOR); end < op.bytes.length; end += SECTOR)
        yield chosen(
          disk,
          () => true,
          (f) => unstuck(f, f === file ? after(whole, { ...op, bytes: op.bytes.subarray(0, end) }) : f.cache, random),
        );
    }
  for (let n = 0; n < effort.samples; n++) {
    const grain = n % 2 === 0 ? SECTOR : PAGE;
    // Blocks that a file has got but nobody has filled hold what the disk had there: nothing, or another file's old bytes.
    const fill = n % 4 < 2 ? 0 : 0xa5;
    yield chosen(
      disk,
      () => random() < 0.5,
      (f) => unstuck(f, torn(f, grain, fill, random), random),
    );
  }
}

/** Each block of the file as it was at any time since the last sync. */
function torn(file: File, grain: number, fill: number, random: Random): Buffer {
  const versions = versionsOf(file);
  const any = (): Buffer => versions[Math.floor(random() * versions.length)] as Buffer;
  const bytes = Buffer.alloc(any().length, fill);
  for (let at = 0; at < bytes.length; at += grain)
    any()
      .subarray(at, at + grain)
      .copy(bytes, at);
  return bytes;
}

function unstuck(file: File, bytes: Buffer, random: Random): Buffer {
  if (file.stuck.size === 0) return bytes;
  const mixed = Buffer.from(bytes);
  const dirty = touched(file.pending);
  for (const [page, maybe] of file.stuck) {
    const n = Math.floor(random() * (maybe.length + 1));
    if (!dirty.has(page) && page * PAGE < mixed.length) maybe[n]?.copy(mixed, page * PAGE);
  }
  return mixed;
}
