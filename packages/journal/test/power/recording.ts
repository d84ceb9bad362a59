import { basename, dirname } from 'node:path';

/** What a process did to the files of one folder, in its order. Files are named by their name in the folder. */
export type Op =
  | NameOp
  | DataOp
  | { readonly op: 'sync' | 'failedSync'; readonly name: string }
  | { readonly op: 'syncFolder' }
  | { readonly op: 'mark'; readonly text: string };
export type NameOp =
  | { readonly op: 'create' | 'unlink'; readonly name: string }
  | { readonly op: 'rename'; readonly name: string; readonly to: string };
export type DataOp =
  | { readonly op: 'write'; readonly name: string; readonly at: number; readonly bytes: Buffer }
  | { readonly op: 'size'; readonly name: string; readonly size: number };

/** Every call that can change a file or its name; strace writes all bytes as hex digits. */
export const RECORD: readonly string[] = [
  '-y',
  '-xx',
  ...['-s', '65536'],
  '-e',
  `trace=${[
    'open,openat,creat,write,writev,pwrite64,pwritev,pwritev2,sendfile,copy_file_range,splice,fsync,fdatasync,sync,syncfs',
    'sync_file_range,ftruncate,truncate,fallocate,rename,renameat,renameat2,unlink,unlinkat,link,linkat,symlink,symlinkat',
  ].join(',')}`,
];

const MARKS = 'marks';
const CALL = /^\d+ +(\w+)\((.*)\) += (-?\d+|\?)(.*)$/;

/** Reads what strace wrote, of a folder that held `before`. Fails on any call that touches it in a way that is not known here. */
export function recordingOf(lines: readonly string[], folder: string, before: Iterable<string> = []): Op[] {
  const ops: Op[] = [];
  const names = new Set(before);
  for (const line of whole(lines)) {
    const call = CALL.exec(line);
    if (!call) continue;
    const [, name = '', rest = '', result = ''] = call;
    const text = rest.replace(/<((?:\\x[0-9a-f]{2})+)>/g, (_, hex: string) => `<${bytesOf(hex)}>`);
    const path = pathIn(text, folder, name);
    if (path === undefined) continue;
    if (result === '?') continue;
    const op = opOf(name, text, path, Number(result), names, folder);
    if (op === 'unknown') throw new Error(`a call that the recording does not know: ${line.slice(0, 300)}`);
    if (op) ops.push(op);
  }
  return ops;
}

function opOf(
  call: string,
  args: string,
  path: string,
  result: number,
  names: Set<string>,
  folder: string,
): Op | undefined | 'unknown' {
  const name = basename(path);
  const isFolder = path === folder;
  if (call === 'fsync' || call === 'fdatasync') {
    if (isFolder) return result === 0 ? { op: 'syncFolder' } : undefined;
    return { op: result === 0 ? 'sync' : 'failedSync', name };
  }
  if (result < 0) return undefined;
  if (call === 'openat' || call === 'open') {
    if (!args.includes('O_CREAT') || names.has(name))
      return args.includes('O_TRUNC') ? { op: 'size', name, size: 0 } : undefined;
    names.add(name);
    return name === MARKS ? undefined : { op: 'create', name };
  }
  if (call === 'write' && name === MARKS) return { op: 'mark', text: bytesOf(quoted(args)).toString('utf8').trim() };
  if (call === 'pwrite64') {
    const bytes = bytesOf(quoted(args)).subarray(0, result);
    return { op: 'write', name, at: Number(/, (\d+) *$/.exec(args)?.[1]), bytes };
  }
  if (call === 'ftruncate') return { op: 'size', name, size: Number(/, (\d+) *$/.exec(args)?.[1]) };
  if (call === 'unlink') {
    names.delete(name);
    return { op: 'unlink', name };
  }
  return 'unknown';
}

/** The file of the folder, or the folder, that a call is about. */
function pathIn(args: string, folder: string, call: string): string | undefined {
  const byPath = call.startsWith('open') || call.startsWith('unlink') || call === 'truncate' || call === 'creat';
  const found = byPath ? bytesOf(quoted(args)).toString('utf8') : /^\d+<([^>]*)>/.exec(args)?.[1];
  if (found === undefined) return args.includes(folder) ? folder : undefined;
  return found === folder || dirname(found) === folder ? found : undefined;
}

const quoted = (args: string): string => /"((?:\\x[0-9a-f]{2})*)"/.exec(args)?.[1] ?? '';
const bytesOf = (hex: string): Buffer => Buffer.from(hex.replaceAll('\\x', ''), 'hex');

/** Lines with calls that another thread interrupted put together again. */
function whole(lines: readonly string[]): string[] {
  const begun = new Map<string, string>();
  return lines.flatMap((line) => {
    const pid = line.slice(0, line.indexOf(' '));
    if (line.endsWith('<unfinished ...>')) {
      begun.set(pid, line.slice(0, -'<unfinished ...>'.length));
      return [];
    }
    const rest = /<\.\.\. \w+ resumed>(.*)$/.exec(line)?.[1];
    return [rest === undefined ? line : (begun.get(pid) ?? '') + rest];
  });
}
