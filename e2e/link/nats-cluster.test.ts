import { randomFrom } from '@fillwright/sim';
import { afterAll, describe, expect, it } from 'vitest';
import { compareBooks, drain } from '../stage/audit.ts';
import { Box } from '../stage/box.ts';
import { NATS } from '../stage/broker.ts';
import { YARD } from '../stage/fleet.ts';
import { type Front, openFront } from '../stage/front.ts';
import { openCluster } from '../stage/nats-cluster.ts';
import { Office } from '../stage/office.ts';
import { openStage } from '../stage/stage.ts';
import { newPrice, ROUNDS, SEED, shortFills, someFlow, TRAFFIC, WITHIN_MS } from './rounds.ts';

/**
 * A broker of three nodes, of which one is killed in every round while fuel flows: the one that the office speaks with, the one that the box
 * speaks with, or one that neither does. Its store is left, as a machine's is that falls over.
 */
const absent = NATS.program === undefined && process.env.CI !== 'true';
const WHOSE = ['office', 'box', 'neither'] as const;
const stage = openStage();
const fronts: Front[] = [];
afterAll(async () => {
  await stage.end();
  for (const front of fronts) front.close();
});

describe.skipIf(absent)(`the line over three nodes of NATS${absent ? ' (not installed here)' : ''}`, () => {
  it(
    `loses nothing and doubles nothing in ${ROUNDS} kills of one of them`,
    async () => {
      const random = randomFrom(`${SEED}/three nodes`);
      const cluster = await openCluster(stage);
      await cluster.settled();
      const [north, middle, south] = cluster.nodes;
      if (!north || !middle || !south) throw new Error('three nodes');
      const frontOf = async (...ports: number[]): Promise<Front> => {
        const front = await openFront(ports);
        fronts.push(front);
        return front;
      };
      const officeFront = await frontOf(north.mqttPort, south.mqttPort, middle.mqttPort);
      const boxFront = await frontOf(middle.mqttPort, south.mqttPort, north.mqttPort);
      const office = await Office.open(stage, {
        mqttUrl: `mqtt://127.0.0.1:${officeFront.port}`,
        mqttPublicUrl: `mqtt://127.0.0.1:${boxFront.port}`,
      });
      await office.commission(shortFills());
      const box = new Box(stage, YARD);
      await box.join(office, TRAFFIC);
      await box.until('the box runs release 1', (v) => v.running === 1);
      const killed = { office: 0, box: 0, neither: 0 };
      let anew = 0;

      for (let round = 1; round <= ROUNDS; round++) {
        // The short run has the office's and then the box's.
        const whose = round === 1 ? 'office' : round === 2 ? 'box' : random.pick(WHOSE);
        const at = { office: officeFront.at, box: boxFront.at };
        const node = cluster.nodes.find(({ mqttPort: p }) =>
          whose === 'neither' ? p !== at.office && p !== at.box : p === at[whose],
        );
        if (!node) throw new Error(`no node for ${whose}`);
        await someFlow(box, random);
        await node.kill();
        killed[whose]++;

        // The others go on without it, and what is new comes through while it is away.
        const released = round === 2 || random.chance(0.2) ? await newPrice(office, round) : undefined;
        if (released !== undefined) await box.until(`the box runs release ${released}`, (v) => v.running === released);
        await someFlow(box, random);
        if (round <= 2 || random.chance(0.5))
          await box.until('what is new comes through', (v) => v.link === 'up' && v.unsent <= 3);
        await node.start();
        anew += await cluster.nursed();
      }

      await drain(office, box, { pace: TRAFFIC.pace });
      const journal = await compareBooks(office, box);
      expect(journal.fills.length).toBeGreaterThanOrEqual(ROUNDS);
      expect(journal.acknowledged).toBe(journal.entries.at(-1)?.seq);
      console.info(
        `three nodes of NATS, seed ${SEED}: killed ${JSON.stringify(killed)} and ${anew} that lagged, ${journal.fills.length} fills, ${journal.entries.length} entries`,
      );
    },
    WITHIN_MS,
  );
});
