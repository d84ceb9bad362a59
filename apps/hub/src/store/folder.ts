import { execFile } from 'node:child_process';
import { chmodSync, chownSync, mkdirSync, realpathSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, resolve, sep } from 'node:path';
import { promisify } from 'node:util';
import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';

const run = promisify(execFile);

/** Whom the database runs as; undefined where it may run as the caller. PostgreSQL refuses to run as root. */
export type Ids = { readonly uid: number; readonly gid: number } | undefined;

const isRoot = () => process.getuid?.() === 0;

export async function engineUser(): Promise<Result<Ids, Problem>> {
  if (!isRoot()) return ok(undefined);
  const look = async () => {
    const [uid, gid] = await Promise.all([run('id', ['-u', 'postgres']), run('id', ['-g', 'postgres'])]);
    return { uid: Number(uid.stdout), gid: Number(gid.stdout) };
  };
  try {
    return ok(await look());
  } catch {
    try {
      await run('useradd', ['--system', '--no-create-home', '--user-group', 'postgres']);
      return ok(await look());
    } catch (cause) {
      return err(
        problem('FW-503', {
          cause: 'PostgreSQL does not run as root, and a user for it cannot be made.',
          mend: 'Start Fillwright as another user, or make a user named postgres.',
          found: String(cause).slice(0, 300),
        }),
      );
    }
  }
}

/** Makes the data folder; where the caller is root, the database's own user must be able to pass through to it. */
export function makeFolder(folder: string): Result<string, Problem> {
  const full = resolve(folder);
  try {
    const first = mkdirSync(full, { recursive: true, mode: 0o700 });
    const stat = statSync(full);
    if (!stat.isDirectory()) return err(problem('FW-903', { at: { in: full } }));
    if (isRoot() && stat.uid === 0) letThrough(full, first);
    return ok(full);
  } catch (cause) {
    return err(problem('FW-903', { at: { in: full }, found: String(cause) }));
  }
}

/** Folders that were made here, and those of a temporary folder, may be passed through by others, never listed. */
function letThrough(full: string, first: string | undefined): void {
  const temporary = realpathSync(tmpdir());
  chmodSync(full, 0o711);
  for (let at = dirname(full); at !== dirname(at); at = dirname(at)) {
    const ours = (first !== undefined && at.startsWith(first)) || at.startsWith(`${temporary}${sep}`);
    const { mode, uid } = statSync(at);
    if (ours && uid === 0 && !(mode & 0o001)) chmodSync(at, (mode & 0o777) | 0o011);
  }
}

export const giveTo = (path: string, ids: Ids): void => {
  if (ids) chownSync(path, ids.uid, ids.gid);
};

/** Whether the database's user can pass through every folder down to `path`. */
export function enterable(path: string, ids: Ids): Result<null, Problem> {
  if (!ids) return ok(null);
  for (let at = resolve(path); ; at = dirname(at)) {
    const { mode, uid, gid } = statSync(at);
    const pass = uid === ids.uid ? mode & 0o100 : gid === ids.gid ? mode & 0o010 : mode & 0o001;
    if (!pass)
      return err(
        problem('FW-903', {
          cause: 'The database’s own user (postgres) cannot pass through the folder.',
          mend: `Run chmod o+x ${at}, or name a data folder elsewhere.`,
          at: { in: at },
        }),
      );
    if (at === dirname(at)) return ok(null);
  }
}
