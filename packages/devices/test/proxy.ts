import { type AddressInfo, connect, createServer, type Socket } from 'node:net';

/** What a bad line does to the bytes of answers. */
export type Mischief = 'none' | 'drop' | 'late' | 'corrupt' | 'double' | 'split' | 'cut';

export interface BadLine {
  readonly port: number;
  mischief: Mischief;
  close(): void;
}

/** A line between box and unit that does mischief to the bytes that come back, from the next answer on. */
export async function badLine(to: number, lateMs = 200): Promise<BadLine> {
  const sockets = new Set<Socket>();
  const line = { port: 0, mischief: 'none' as Mischief, close: () => {} };
  const server = createServer((near) => {
    const far = connect({ port: to, host: '127.0.0.1', noDelay: true });
    near.setNoDelay(true);
    for (const [a, b] of [
      [near, far],
      [far, near],
    ] as const) {
      sockets.add(a);
      a.on('error', () => b.destroy());
      a.on('close', () => {
        sockets.delete(a);
        b.destroy();
      });
    }
    near.on('data', (bytes) => far.write(bytes));
    far.on('data', (bytes) => {
      switch (line.mischief) {
        case 'drop':
          return;
        case 'late':
          setTimeout(() => near.writable && near.write(bytes), lateMs);
          return;
        case 'corrupt': {
          const wrong = Buffer.from(bytes);
          wrong[wrong.length - 1] = (wrong[wrong.length - 1] ?? 0) ^ 0x55;
          near.write(wrong);
          return;
        }
        case 'double':
          near.write(Buffer.concat([bytes, bytes]));
          return;
        case 'split':
          for (const b of bytes) near.write(Buffer.of(b));
          return;
        case 'cut':
          near.destroy();
          return;
        default:
          near.write(bytes);
      }
    });
  });
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
  line.port = (server.address() as AddressInfo).port;
  line.close = () => {
    server.close();
    for (const s of sockets) s.destroy();
  };
  return line;
}
