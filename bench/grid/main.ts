import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join as path } from 'node:path';
import { fileURLToPath } from 'node:url';
import { startHub } from '@fillwright/hub';
import type { Caller } from '@fillwright/wire';
import { pino } from 'pino';
import { chromium } from 'playwright-core';
import { must, putRoster } from './roster.ts';
import { watched } from './tasks.ts';

/**
 * How long the desk's page is held up while a large roster is worked in: the longest task of the main thread, by the clock (long tasks as the
 * page's own PerformanceObserver tells them, from 50 ms) and in processor time (from a trace, so that a busy machine does not count), for a
 * roster of `--rows` drivers with a credential each and for one of 1,000 beside it. `npm run build:desk`, then
 * `npx tsx bench/grid/main.ts [--rows 100000] [--rounds 5]`; CHROMIUM names another browser.
 */
const given = (name: string, usual: number) => {
  const at = process.argv.indexOf(name);
  return at < 0 ? usual : Number(process.argv[at + 1]);
};
const ROWS = given('--rows', 100_000);
const ROUNDS = given('--rounds', 5);

const folder = mkdtempSync(path(tmpdir(), 'fillwright-grid-'));
const deskDir = fileURLToPath(new URL('../../apps/desk/dist', import.meta.url));
const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-quic', '--disable-background-networking', '--disable-gpu', '--no-first-run'],
});
const ends: (() => Promise<unknown>)[] = [() => browser.close()];
try {
  for (const rows of [1_000, ROWS]) console.log(table(rows, await measure(rows)));
} finally {
  for (const end of ends.reverse()) await end();
  rmSync(folder, { recursive: true, force: true });
}

type Row = { readonly deed: string; readonly clock: number[]; readonly processor: number[] };

async function measure(rows: number): Promise<Row[]> {
  const dataDir = path(folder, `office-${rows}`);
  const log = pino({ level: 'silent' });
  const hub = must(await startHub({ dataDir, port: 0, host: '127.0.0.1', log, deskDir }));
  ends.push(() => hub.stop());
  const owner = { name: 'Ada Quill', email: 'ada@example.test', password: 'seven blue lorries' };
  const made = await fetch(`${hub.url}/api/office/owner`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ fleetName: 'Bench', units: 'us', currency: 'USD', ...owner }),
  });
  const caller: Caller = {
    base: hub.url,
    fetch,
    headers: { cookie: (made.headers.get('set-cookie') ?? '').split(';')[0] ?? '' },
  };
  await putRoster(caller, rows);

  const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
  await page.goto(hub.url);
  await page.getByLabel('E-mail').fill(owner.email);
  await page.getByLabel('Password').fill(owner.password);
  await page.getByRole('button', { name: 'Sign in' }).click();
  await page.getByRole('heading', { level: 1, name: 'Today' }).waitFor({ timeout: 120_000 });

  const grid = page.getByRole('grid');
  const shown = () => page.locator('.grid-row').first().waitFor({ timeout: 120_000 });
  const deeds: Record<string, (round: number) => Promise<void>> = {
    load: async () => {
      await page.goto(`${hub.url}/roster?show=drivers`);
      await shown();
    },
    scroll: async () => {
      await grid.hover();
      for (let i = 0; i < 40; i++) await page.mouse.wheel(0, i % 8 === 7 ? -40_000 : 900);
    },
    edit: async (round) => {
      await page.locator('[data-c="0"]').first().click();
      await page.keyboard.type(`Renamed ${round}`);
      await page.keyboard.press('Enter');
    },
    undo: async () => {
      await page.getByRole('button', { name: 'Undo' }).click();
    },
    sort: async () => {
      await page.getByRole('button', { name: /^Name/ }).first().click();
    },
    filter: async (round) => {
      await page.getByLabel('Filter Name').pressSequentially(String(round + 17), { delay: 120 });
    },
    'clear the filter': async () => {
      await page.getByLabel('Filter Name').fill('');
    },
    'open a row': async () => {
      await page.getByRole('button', { name: 'Open row 1', exact: true }).click();
      await page.getByRole('button', { name: 'Close' }).waitFor();
    },
    'edit beside it': async (round) => {
      const number = page.getByRole('textbox', { name: 'Number', exact: true });
      await number.fill(`n${round}`);
      await number.press('Enter');
    },
    'close it': async () => {
      await page.getByRole('button', { name: 'Close' }).click();
    },
    'add a row': async () => {
      await page.getByRole('button', { name: /^Add/ }).first().click();
    },
  };
  const told = Object.keys(deeds).map((deed) => ({ deed, clock: [] as number[], processor: [] as number[] }));
  for (let round = 0; round < ROUNDS; round++) {
    for (const row of told) {
      const longest = await watched(browser, page, () => (deeds[row.deed] as (round: number) => Promise<void>)(round));
      row.clock.push(longest.clock);
      row.processor.push(longest.processor);
    }
  }
  await page.close();
  return told;
}

function table(rows: number, told: readonly Row[]): string {
  const middle = (list: readonly number[]) => [...list].sort((a, b) => a - b)[Math.floor(list.length / 2)] as number;
  const ms = (list: readonly number[]) =>
    `${middle(list).toFixed(0).padStart(6)} (at most ${Math.max(...list).toFixed(0)})`;
  return [
    `${rows.toLocaleString('en')} drivers with a credential each; longest task in ms, median of ${ROUNDS}`,
    ...told.map((t) => `  ${t.deed.padEnd(18)} by the clock ${ms(t.clock).padEnd(24)} processor ${ms(t.processor)}`),
  ].join('\n');
}
