import { connect, createServer } from 'node:net';
import { freePort } from './ports.ts';

export interface Front {
  readonly port: number;
  /** Which of its ports took the last connection. */
  readonly at: number | undefined;
  close(): void;
}

/** One address for several, as a name with many addresses or a balancer gives: each connection goes to the first port that takes it. */
export async function openFront(ports: readonly number[]): Promise<Front> {
  let at: number | undefined;
  const open = new Set<{ destroy(): void }>();
  const server = createServer((from) => {
    open.add(from);
    from.once('close', () => open.delete(from)).on('error', () => from.destroy());
    tryNext(0);
    function tryNext(i: number): void {
      const port = ports[i];
      if (port === undefined) return void from.destroy();
      const to = connect(port, '127.0.0.1');
      const refused = () => tryNext(i + 1);
      to.once('error', refused).once('connect', () => {
        at = port;
        to.off('error', refused).on('error', () => from.destroy());
        to.once('close', () => from.destroy());
        from.once('close', () => to.destroy());
        from.pipe(to).pipe(from);
      });
    }
  });
  const port = await freePort();
  await new Promise<void>((resolve, reject) => server.once('error', reject).listen(port, '127.0.0.1', resolve));
  return {
    port,
    get at() {
      return at;
    },
    close() {
      server.close();
      for (const socket of open) socket.destroy();
    },
  };
}
