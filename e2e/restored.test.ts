import { execFileSync } from 'node:child_process';
import { rmSync } from 'node:fs';
import { afterAll, expect, it } from 'vitest';
import { compareBooks, drain } from './stage/audit.ts';
import { Box } from './stage/box.ts';
import { HOSES, smallFleet, YARD } from './stage/fleet.ts';
import { flowing, quiet } from './stage/hands.ts';
import { Office } from './stage/office.ts';
import { openStage } from './stage/stage.ts';

/**
 * The office's folder is copied, fuel flows and is acknowledged, the office dies, and the copy takes its place: a restore from an older backup.
 * It takes minutes, mostly of waiting for boxes to dial again, so only `.ci/nightly` runs it: FILLWRIGHT_RESTORE=1.
 */
const RUN = { pace: 40 };
// With owners: the database's files belong to the account that it runs under.
const copy = (from: string, to: string) => execFileSync('cp', ['-a', from, to]);
const stage = openStage();
afterAll(() => stage.end());

it.skipIf(process.env.FILLWRIGHT_RESTORE !== '1')(
  'an office restored from an older backup is sent again what it had acknowledged since',
  {
    timeout: 600_000,
  },
  async () => {
    const office = await Office.open(stage);
    await office.commission(smallFleet());
    const box = new Box(stage, YARD);
    await box.join(office, RUN);
    await box.until('the box runs release 1', (v) => v.running === 1);
    const drawn = async (driver: number, hose: string, least: number) => {
      await flowing(box, driver, hose, 3);
      await quiet(box);
      await office.until(`${least} fills are in the ledger`, async () => (await office.fills()).count >= least);
      await box.until('the office has acknowledged everything', (v) => v.link === 'up' && v.unsent === 0);
    };
    await drawn(0, HOSES[0], 1);

    office.process?.signal('SIGTERM');
    await office.process?.ended;
    const backup = `${office.folder}-backup`;
    copy(office.folder, backup);
    await office.start();
    await office.signIn();
    await drawn(1, HOSES[1], 2);
    await drawn(2, HOSES[0], 3);

    await office.kill(true);
    rmSync(office.folder, { recursive: true });
    copy(backup, office.folder);
    rmSync(backup, { recursive: true });
    await office.start();
    await office.signIn();
    expect((await office.fills()).count).toBeLessThan(3);
    // The box has nothing of its own to send: the office asks.
    await office.until('the ledger is whole again', async () => (await office.fills()).count === 3);
    await office.until('nothing is missing', async () => (await office.site(YARD))?.gap === false);
    await drawn(3, HOSES[1], 4);

    await drain(office, box, RUN);
    const journal = await compareBooks(office, box);
    expect(journal.fills.length).toBe(4);
  },
);
