import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** Whether serial lines can be made here: a pseudo-terminal is the kernel's own serial port, and Python's library opens the pair. */
export const PTY = process.platform === 'linux' && spawnSync('python3', ['-c', 'import pty, tty']).status === 0;
export const NO_PTY = PTY ? '' : ' (SKIPPED: no python3 that opens pseudo-terminals)';

/**
 * Opens the pair, raw, names its far end by a link, and carries bytes between the near end and a TCP port. It ends when either side does. The far
 * end is held open, as a cable stays plugged in whether or not a program listens.
 */
const BRIDGE = `
import os, pty, select, socket, sys, tty
near, far = pty.openpty()
tty.setraw(near); tty.setraw(far)
link, port = sys.argv[1], int(sys.argv[2])
line = socket.create_connection(('127.0.0.1', port))
line.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
if os.path.islink(link): os.unlink(link)
os.symlink(os.ttyname(far), link)
print('open', flush=True)
while True:
    for ready in select.select([near, line, sys.stdin], [], [])[0]:
        if ready is sys.stdin: sys.exit()
        if ready is near: line.sendall(os.read(near, 4096))
        else:
            got = line.recv(4096)
            if not got: sys.exit()
            os.write(near, got)
`;

export interface SerialLine {
  /** What a wiring file calls the port; stays the same over all bridges. */
  readonly path: string;
  /** Lays the line to a TCP port of this machine. */
  lay(port: number): Promise<void>;
  /** Pulls the adapter out: the port is gone. */
  pull(): Promise<void>;
  remove(): Promise<void>;
}

export function serialLine(): SerialLine {
  const folder = mkdtempSync(join(tmpdir(), 'serial-'));
  const path = join(folder, 'ttyS9');
  let bridge: ChildProcess | undefined;
  const line: SerialLine = {
    path,
    lay: (port) =>
      new Promise((done, failed) => {
        const child = spawn('python3', ['-c', BRIDGE, path, String(port)], { stdio: ['pipe', 'pipe', 'pipe'] });
        bridge = child;
        let said = '';
        child.stderr.on('data', (text) => {
          said += text;
        });
        child.stdout.once('data', () => done());
        child.once('close', () => failed(new Error(`the bridge ended: ${said}`)));
      }),
    async pull() {
      const child = bridge;
      bridge = undefined;
      if (!child || child.exitCode !== null) return;
      const over = new Promise((done) => child.once('close', done));
      child.stdin?.end();
      await over;
    },
    async remove() {
      await line.pull();
      rmSync(folder, { recursive: true, force: true });
    },
  };
  return line;
}
