import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { listens, NATS } from './broker.ts';
import { freePort } from './ports.ts';
import type { Started } from './processes.ts';
import type { Stage } from './stage.ts';
import { until } from './wait.ts';

/** One of the nodes, over all the processes that serve it: same ports, same store. */
export interface Node {
  readonly name: string;
  readonly mqttPort: number;
  readonly running: boolean;
  kill(): Promise<void>;
  start(): Promise<void>;
}

export interface Cluster {
  readonly nodes: readonly Node[];
  /** Waits until the nodes that run have a leader of their streams and none of those that run lags behind; fails after `ms`. */
  settled(ms?: number): Promise<void>;
  /**
   * The same between kills, as somebody does who looks after the nodes: one that still lags after 30 s is started anew. NATS 2.9 may never
   * bring a consumer up to date after a kill. Answers with how many had to be.
   */
  nursed(): Promise<number>;
}

/** Three nodes of NATS that keep MQTT's messages together: what two of them have written is kept. */
export async function openCluster(stage: Stage): Promise<Cluster> {
  const { program } = NATS;
  if (program === undefined) throw new Error('NATS is not installed');
  const names = ['north', 'middle', 'south'];
  const routes = await Promise.all(names.map(() => freePort()));
  const watch = await Promise.all(names.map(() => freePort()));
  const nodes = await Promise.all(
    names.map(async (name, i): Promise<Node> => {
      const folder = stage.folder(`nats-${name}`);
      mkdirSync(folder, { recursive: true });
      const port = await freePort();
      const file = join(folder, 'nats.conf');
      const lines = [
        `server_name: ${name}`,
        `listen: 127.0.0.1:${await freePort()}`,
        `http: 127.0.0.1:${watch[i]}`,
        `jetstream { store_dir: ${JSON.stringify(join(folder, 'store'))} }`,
        `mqtt { listen: 127.0.0.1:${port}, stream_replicas: 3, consumer_replicas: 3 }`,
        `cluster { name: yards, listen: 127.0.0.1:${routes[i]}, routes: [${routes.map((r) => `nats://127.0.0.1:${r}`).join(', ')}] }`,
      ];
      writeFileSync(file, `${lines.join('\n')}\n`);
      let process: Started | undefined;
      return {
        name,
        mqttPort: port,
        get running() {
          return process?.running ?? false;
        },
        async kill() {
          process?.signalAll('SIGKILL');
          await process?.ended;
        },
        async start() {
          const started = stage.start({ name: `NATS ${name}`, program, args: ['-c', file] });
          process = started;
          await until(`NATS ${name} listens`, () => started.running && listens(port), {
            ms: 60_000,
            evidence: () => started.tail(),
          });
        },
      };
    }),
  );
  // None listens to MQTT before there is a majority.
  await Promise.all(nodes.map((n) => n.start()));
  const lagging = async () => {
    const well = await Promise.all(nodes.map((n, i) => !n.running || isCurrent(watch[i] ?? 0).catch(() => false)));
    return nodes.filter((_, i) => !well[i]);
  };
  const cluster: Cluster = {
    nodes,
    settled: (ms = 120_000) =>
      until('the nodes have a leader and are current', async () => (await lagging()).length === 0, {
        ms,
        evidence: () => stage.tails(),
      }).then(() => undefined),
    async nursed() {
      let anew = 0;
      for (let i = 0; i < 2; i++) {
        if (
          await cluster.settled(30_000).then(
            () => true,
            () => false,
          )
        )
          return anew;
        const [node] = await lagging();
        if (!node) continue;
        await node.kill();
        await node.start();
        anew++;
      }
      // Its own health is not what is proven here: whether fills come through is, and that is asked after the next kill.
      return anew;
    },
  };
  return cluster;
}

/** Whether a node knows a leader of its cluster, itself or another. */
async function isCurrent(port: number): Promise<boolean> {
  const answer = await fetch(`http://127.0.0.1:${port}/healthz`, { signal: AbortSignal.timeout(5_000) });
  return answer.ok;
}
