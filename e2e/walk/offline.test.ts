import { call } from '@fillwright/wire';
import type { Browser } from 'playwright-core';
import { afterAll, describe, expect, it } from 'vitest';
import { smallFleet, YARD } from '../stage/fleet.ts';
import { must, Office, OWNER } from '../stage/office.ts';
import { openStage } from '../stage/stage.ts';
import { openBrowser } from './browser.ts';

/** A tablet at an island whose line is gone: the office is killed, the page is loaded anew, and the worksheet goes on. */
const stage = openStage();
let browser: Browser | undefined;
afterAll(async () => {
  await browser?.close();
  await stage.end();
});

describe('a worksheet without a line', () => {
  it('opens after a reload, keeps what is pressed, and sends it when the office is back', {
    timeout: 300_000,
  }, async () => {
    const office = await Office.open(stage);
    await office.commission(smallFleet());
    const made = must(await call(office.caller, 'makeWorksheet', { body: { site: YARD } }));

    browser = await openBrowser();
    const page = await (await browser.newContext({ viewport: { width: 834, height: 1100 } })).newPage();
    page.setDefaultTimeout(60_000);
    await page.goto(`${office.url}/worksheet?sheet=${made.id}`);
    await page.getByLabel('E-mail').fill(OWNER.email);
    await page.getByLabel('Password').fill(OWNER.password);
    await page.getByRole('button', { name: 'Sign in' }).click();
    await page.getByRole('heading', { name: 'Before anything flows' }).waitFor();
    await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
    // From now on the worker sees the answers; the first load was before it.
    await page.reload();
    await page.getByRole('heading', { name: 'Before anything flows' }).waitFor();
    expect(await page.getByText('The office is not heard').count()).toBe(0);

    await office.kill(false);
    await page.reload();
    await page.getByRole('heading', { name: 'Before anything flows' }).waitFor();
    await page.getByText('The office is not heard').waitFor();

    const step = made.sheet.steps.find((s) => s.part === 'safety');
    if (!step) throw new Error('the worksheet has no safety step');
    await page.getByRole('button', { name: `In order: ${step.act}`, exact: true }).click();
    await page.getByText('1 thing not sent yet').waitFor();
    const photo = page.getByLabel(`Photo: ${step.act}`);
    await photo.setInputFiles({ name: 'sump.png', mimeType: 'image/png', buffer: await page.screenshot() });
    await page.getByText('2 things not sent yet').waitFor();
    // The tablet's browser drops the page; nothing that was pressed is gone.
    await page.reload();
    await page.getByText('2 things not sent yet').waitFor();

    await office.start();
    await office.signIn();
    await page.getByText('everything is sent').waitFor();
    await page.getByText('The office is not heard').waitFor({ state: 'detached' });
    const sheet = must(await call(office.caller, 'worksheet', { params: { id: made.id } }));
    expect(sheet.results.filter((r) => r.step === step.id)).toMatchObject([{ verdict: 'good' }]);
    expect(sheet.photos.filter((p) => p.step === step.id)).toHaveLength(1);

    // Who signs out leaves nothing of the fleet behind on the tablet.
    await page.getByRole('button', { name: /^Account/ }).click();
    await page.getByRole('button', { name: 'Sign out' }).click();
    await page.getByRole('button', { name: 'Sign in' }).waitFor();
    const left = await page.evaluate(async () => {
      const kept = await (await caches.open('answers')).keys();
      return kept.map((k) => new URL(k.url).pathname);
    });
    expect(left.filter((path) => path !== '/api/office')).toEqual([]);
  });
});
