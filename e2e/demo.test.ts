import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { type Caller, call } from '@fillwright/wire';
import { afterAll, describe, expect, it } from 'vitest';
import { must, signedInAt } from './stage/office.ts';
import type { Started } from './stage/processes.ts';
import { openStage, processesIn } from './stage/stage.ts';
import { until } from './stage/wait.ts';

const stage = openStage();
afterAll(() => stage.end());

const folder = stage.folder('demo');
stage.office(join(folder, 'office'));
const demo = () =>
  stage.fillwright('demo', ['demo', '--data', folder, '--port', '0', '--pace', '60', '--history', '0']);

interface Open {
  readonly process: Started;
  readonly url: string;
  readonly office: Caller;
}

async function opened(): Promise<Open> {
  const process = demo();
  const url = (await process.line(/The desk is open at (http:\/\/\S+)/, 240_000))[1] ?? '';
  const account = await process.line(/Sign in as (\S+) with the password (\S+)/);
  return { process, url, office: await signedInAt(url, account[1] ?? '', account[2] ?? '') };
}

const evidence = () => stage.tails();

/** Waits until all three yards run `revision` and are here. */
const allRun = (at: Open, revision: number) =>
  until(
    `three sites run release ${revision}`,
    async () => {
      const sites = must(await call(at.office, 'sites', {}));
      return sites.length === 3 && sites.every((s) => s.running === revision && s.link === 'here');
    },
    { ms: 180_000, evidence },
  );

async function stopped(at: Open): Promise<void> {
  at.process.signal('SIGINT');
  expect(await at.process.ended, at.process.tail(40)).toBe(0);
  expect(processesIn(folder)).toEqual([]);
}

describe('the demo', () => {
  it('opens an office with three yards where people fill, ends whole, and opens again', {
    timeout: 900_000,
  }, async () => {
    const first = await opened();
    await allRun(first, 1);
    const fills = await until(
      'a fill is in the ledger',
      async () => {
        const page = must(await call(first.office, 'fills', { query: {} }));
        return page.fills.some((f) => f.volume > 0) && page;
      },
      { ms: 240_000, evidence },
    );
    expect(fills.totals.fills).toBeGreaterThan(0);

    // The folder is held: a second one is turned away in a sentence, and the first goes on.
    const second = demo();
    expect(await second.ended).toBe(1);
    expect(second.tail()).toMatch(/FW-605 \S.*\./);
    expect(must(await call(first.office, 'office', {})).hasOwner).toBe(true);

    await stopped(first);
    expect(existsSync(join(folder, 'office', 'postgres', 'PG_VERSION'))).toBe(true);

    const again = await opened();
    await allRun(again, 1);
    const kept = must(await call(again.office, 'fills', { query: {} }));
    expect(kept.totals.fills).toBeGreaterThanOrEqual(fills.totals.fills);
    await stopped(again);
  });
});
