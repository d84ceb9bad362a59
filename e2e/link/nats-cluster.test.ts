import { afterAll, describe, expect, it } from 'vitest';
import { compareBooks, drain } from '../stage/audit.ts';
import { Box } from '../stage/box.ts';
import { NATS } from '../stage/broker.ts';
import { HOSES, smallFleet, YARD } from '../stage/fleet.ts';
import { openFront } from '../stage/front.ts';
import { flowing, quiet } from '../stage/hands.ts';
import { openCluster } from '../stage/nats-cluster.ts';
import { Office } from '../stage/office.ts';
import { openStage } from '../stage/stage.ts';

/**
 * A broker of three nodes, of which one is killed while fuel flows: the one that the office speaks with, then, when that is back, the one that the
 * box speaks with. Its store is left, as a machine's is that falls over.
 */
const absent = NATS.program === undefined && process.env.CI !== 'true';
const stage = openStage();
const fronts: { close(): void }[] = [];
afterAll(async () => {
  await stage.end();
  for (const front of fronts) front.close();
});

describe.skipIf(absent)(`the line over three nodes of NATS${absent ? ' (not installed here)' : ''}`, () => {
  it('loses nothing and doubles nothing when one of them is killed, and then another', {
    timeout: 600_000,
  }, async () => {
    const cluster = await openCluster(stage);
    await cluster.settled();
    const [north, middle, south] = cluster.nodes;
    if (!north || !middle || !south) throw new Error('three nodes');
    const frontOf = async (...ports: number[]): Promise<string> => {
      const front = await openFront(ports);
      fronts.push(front);
      return `mqtt://127.0.0.1:${front.port}`;
    };
    const office = await Office.open(stage, {
      mqttUrl: await frontOf(north.mqttPort, south.mqttPort, middle.mqttPort),
      mqttPublicUrl: await frontOf(middle.mqttPort, south.mqttPort, north.mqttPort),
    });
    await office.commission(smallFleet());
    const box = new Box(stage, YARD);
    const run = { pace: 40 };
    await box.join(office, run);
    await box.until('the box runs release 1', (v) => v.running === 1);
    const inLedger = (least: number) =>
      office.until(`${least} fills are in the ledger`, async () => (await office.fills()).count >= least);

    // The office's node, in mid-fill: the others go on without it, and all comes through while it is away.
    await flowing(box, 0, HOSES[0], 5);
    await north.kill();
    await quiet(box);
    await inLedger(1);
    await flowing(box, 1, HOSES[1], 5);
    await north.start();
    await quiet(box);
    await cluster.settled();
    await inLedger(2);

    // The box's node.
    await flowing(box, 2, HOSES[0], 5);
    await middle.kill();
    await office.edit({ op: 'set', table: 'prices', id: 'diesel-price', fields: { price: 42_900 } });
    const number = await office.release('Sent while a node was away');
    await quiet(box);
    await box.until(`the box runs release ${number}`, (v) => v.running === number);
    await flowing(box, 3, HOSES[1], 5);
    await middle.start();
    await quiet(box);
    await inLedger(4);

    await drain(office, box, run);
    const journal = await compareBooks(office, box);
    expect(journal.fills.length).toBe(4);
    expect(journal.acknowledged).toBe(journal.entries.at(-1)?.seq);
  });
});
