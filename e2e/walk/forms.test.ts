import type { Browser } from 'playwright-core';
import { afterAll, describe, expect, it } from 'vitest';
import { HOSES, smallFleet } from '../stage/fleet.ts';
import { Office, OWNER } from '../stage/office.ts';
import { openStage } from '../stage/stage.ts';
import { openBrowser } from './browser.ts';

/** The forms that write into books: a proving run, and a move of a tank. */
const stage = openStage();
let browser: Browser | undefined;
afterAll(async () => {
  await browser?.close();
  await stage.end();
});

describe('forms that write into books', () => {
  it('keep a proving run and a delivery as they were typed', { timeout: 240_000 }, async () => {
    const office = await Office.open(stage);
    await office.commission(smallFleet());
    browser = await openBrowser();
    const page = await (await browser.newContext({ viewport: { width: 1400, height: 1000 } })).newPage();
    page.setDefaultTimeout(30_000);
    const type = (label: string, text: string) => page.getByLabel(label, { exact: true }).fill(text);
    await page.goto(`${office.url}/proving?hose=${HOSES[0]}`);
    await type('E-mail', OWNER.email);
    await type('Password', OWNER.password);
    await page.getByRole('button', { name: 'Sign in' }).click();

    await page.getByRole('heading', { name: 'New proving run' }).waitFor();
    await type('Prover', 'test measure 4');
    await type('Certificate number', 'C-17');
    await type('Certified on', '2026-01-05');
    await type('Certificate holds until', '2035-01-05');
    await page.getByRole('button', { name: 'Add draft' }).click();
    await page.getByRole('button', { name: 'Remove draft 4' }).click();
    expect(await page.getByRole('button', { name: /^Remove draft/ }).count()).toBe(3);
    await page.getByText('Not judged yet').waitFor();
    for (const n of [1, 2, 3]) {
      await type(`Draft ${n}: reading`, '1');
      await type(`Draft ${n}: flow`, n === 3 ? '5' : '18');
    }
    await page.getByText('Not judged yet').waitFor({ state: 'detached' });
    expect(await page.getByRole('combobox', { name: 'Goes back to' }).inputValue()).toBe('tidewharf-t1');
    await page.getByRole('button', { name: 'Keep this run' }).click();
    await page.getByText('Kept.', { exact: true }).waitFor();
    // The next run begins with the prover of this one.
    expect(await page.getByLabel('Certificate number', { exact: true }).inputValue()).toBe('C-17');

    await page.goto(`${office.url}/tanks?tank=tidewharf-t1`);
    await type('Volume (gal)', '1000');
    await type('Compartments (gal), with commas', '600');
    await page.getByRole('button', { name: 'Write into the book' }).click();
    await page.getByText('compartments that add up to the gross volume').waitFor();
    await type('Compartments (gal), with commas', '600, 400');
    await type('Note', 'BL 17');
    await page.getByRole('button', { name: 'Write into the book' }).click();
    await page.getByText('Written.', { exact: true }).waitFor();
    expect(await page.getByLabel('Note', { exact: true }).inputValue()).toBe('');
  });
});
