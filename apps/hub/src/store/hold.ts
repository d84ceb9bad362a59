import { createHash } from 'node:crypto';
import { realpathSync, rmSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';

/** A folder held by this process; the system lets go of it when the process ends in whatever way. */
export interface Hold {
  release(): Promise<void>;
}

/**
 * Holds a folder by listening on a local name made from its path: unlike a file with a process number, the name is free again
 * the moment its holder is gone, killed or not.
 */
export async function holdFolder(folder: string): Promise<Result<Hold, Problem>> {
  const name = `fillwright-${createHash('sha256').update(realpathSync(folder)).digest('hex').slice(0, 40)}`;
  const file =
    process.platform === 'linux' || process.platform === 'win32' ? undefined : join(tmpdir(), `${name}.sock`);
  const path = process.platform === 'win32' ? `\\\\.\\pipe\\${name}` : (file ?? `\0${name}`);
  const server = createServer((socket) => socket.destroy());
  const listen = () =>
    new Promise<boolean>((resolve, reject) => {
      server.once('error', (e: NodeJS.ErrnoException) => (e.code === 'EADDRINUSE' ? resolve(false) : reject(e)));
      server.listen(path, () => resolve(true));
    });
  let held = await listen();
  if (!held && file && !(await answers(file))) {
    rmSync(file, { force: true });
    held = await listen();
  }
  if (!held) return err(problem('FW-605', { at: { in: folder } }));
  server.unref();
  return ok({ release: () => new Promise<void>((done) => server.close(() => done())) });
}

async function answers(path: string): Promise<boolean> {
  const { connect } = await import('node:net');
  return new Promise((resolve) => {
    const socket = connect(path, () => {
      socket.destroy();
      resolve(true);
    }).on('error', () => resolve(false));
  });
}
