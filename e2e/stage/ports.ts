import { createServer } from 'node:net';

const given = new Set<number>();

/** A port that nothing listens at now and that no other part of this run was given. */
export async function freePort(): Promise<number> {
  for (;;) {
    const port = await new Promise<number>((resolve, reject) => {
      const server = createServer().once('error', reject);
      server.listen(0, '127.0.0.1', () => {
        const { port } = server.address() as { port: number };
        server.close(() => resolve(port));
      });
    });
    if (given.has(port)) continue;
    given.add(port);
    return port;
  }
}
