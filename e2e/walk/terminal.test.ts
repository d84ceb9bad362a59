import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import AxeBuilder from '@axe-core/playwright';
import { demoPin, harrowmere } from '@fillwright/sim';
import { preparePractice, realClock, sealPins, simulatedYards, startSite } from '@fillwright/site';
import { pino } from 'pino';
import type { Browser, Page } from 'playwright-core';
import { expect, it } from 'vitest';
import { openBrowser } from './browser.ts';
import { glossary, labelsOn, masker, unknownLabels } from './labels.ts';

/** The terminal's page of a learner's yard, as it stands on a small panel and at a keyboard. FILLWRIGHT_SHOTS=folder keeps pictures. */
const SHOTS = process.env.FILLWRIGHT_SHOTS;
const SITE = 'oxmere-mill';
const PANELS = [
  { width: 800, height: 480 },
  { width: 1024, height: 600 },
  { width: 834, height: 1112 },
] as const;

/** Buttons that a driver needs and that are cut by the edge of what is in sight. */
const outOfSight = (page: Page): Promise<string[]> =>
  page.evaluate(`(() => {
    const needed = '#keypad button, #languages button, #print, #hoses li, #hoses button, #stop button, #display, #caution, #answer button';
    return [...document.querySelectorAll(needed)]
      .filter((n) => n.getClientRects().length > 0)
      .filter((n) => { const r = n.getBoundingClientRect(); return r.top < 0 || r.left < 0 || r.bottom > innerHeight || r.right > innerWidth; })
      .map((n) => (n.textContent || n.id).trim() + ' ends at ' + Math.round(n.getBoundingClientRect().bottom));
  })()`);
/** What a finger must hit: 44 px, as WCAG 2.2 names for target size (enhanced), 2.5.5. */
const tooSmall = (page: Page): Promise<string[]> =>
  page.evaluate(`[...document.querySelectorAll('button')]
    .filter((n) => n.getClientRects().length > 0)
    .filter((n) => { const r = n.getBoundingClientRect(); return r.width < 44 || r.height < 44; })
    .map((n) => n.textContent)`);

it('a fill by keyboard alone, with all that a driver needs in sight', { timeout: 240_000 }, async () => {
  const dataDir = mkdtempSync(join(tmpdir(), 'fillwright-terminal-'));
  const fleet = harrowmere();
  const clock = realClock(1);
  const ids = { n: 0 };
  const randomId = () => `box${++ids.n}`;
  const ready = preparePractice({ dataDir, fleet, site: SITE, now: clock.now(), randomId });
  expect(ready.ok).toBe(true);
  // Streets drivers are asked for a job number; one who may draw at every hour.
  const driver = [...fleet.drivers.values()].find((d) => d.questions.includes('job'));
  const card = [...fleet.credentials.values()].find((c) => c.driver === driver?.id);
  if (!driver || !card) throw new Error('the invented fleet has nobody who is asked');
  const started = await startSite({
    dataDir,
    clock,
    log: pino({ level: 'silent' }),
    practice: true,
    practicePins: (key) => sealPins({ ...fleet, drivers: new Map([[driver.id, driver]]) }, key, demoPin, 1),
    practiceWords: { pinOf: demoPin },
    yard: simulatedYards({ clock, seed: 'terminal', dataDir }),
  });
  if (!started.ok) throw new Error(started.error.cause);
  const site = started.value;
  let browser: Browser | undefined;
  try {
    browser = await openBrowser();
    const page = await (await browser.newContext({ viewport: PANELS[0] })).newPage();
    page.setDefaultTimeout(60_000);
    const screenIs = async (...names: string[]) => {
      for (let i = 0; !names.includes(site.view().terminals[0]?.screen ?? ''); i++) {
        if (i > 600) throw new Error(`waits for ${names.join(' or ')}, shows ${site.view().terminals[0]?.screen}`);
        await page.waitForTimeout(50);
      }
      return site.view().terminals[0]?.screen;
    };
    const seen: string[] = [];
    const look = async (name: string) => {
      for (const panel of PANELS) {
        await page.setViewportSize(panel);
        const size = `${panel.width}x${panel.height}`;
        for (const what of await outOfSight(page)) seen.push(`${name}, ${size}: out of sight: ${what}`);
        for (const what of await tooSmall(page)) seen.push(`${name}, ${size}: too small: ${what}`);
        for (const colorScheme of SHOTS ? (['light', 'dark'] as const) : []) {
          await page.emulateMedia({ colorScheme });
          await page.screenshot({ path: join(SHOTS ?? '', `${name}-${size}-${colorScheme}.png`) });
        }
      }
      await page.emulateMedia({ colorScheme: null });
      await page.setViewportSize(PANELS[0]);
    };
    /** By hand: slower than any reader. */
    const type = async (text: string, end = true) => {
      for (const key of [...text, ...(end ? ['Enter'] : [])]) {
        await page.keyboard.press(key);
        await page.waitForTimeout(150);
      }
    };

    /** As a reader does it that types like a keyboard: all at once. */
    const swipe = (number: string) =>
      page.evaluate(`for (const key of [...'${number}', 'Enter'])
        document.body.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true, cancelable: true }))`);

    await page.goto(site.url);
    await screenIs('idle');
    await page.getByRole('button', { name: 'Lift, hose 1' }).waitFor();
    expect(await page.getByText('Practice: no fuel flows').isVisible()).toBe(true);
    await look('idle');
    const barriers: string[] = [];
    for (const colorScheme of ['light', 'dark'] as const) {
      await page.emulateMedia({ colorScheme, reducedMotion: 'reduce' });
      const { violations } = await new AxeBuilder({ page }).analyze();
      for (const v of violations) barriers.push(`${colorScheme}: ${v.id}: ${v.nodes[0]?.html.slice(0, 160)}`);
    }
    expect(barriers).toEqual([]);
    await page.getByText('For the site’s own people').click();
    expect(unknownLabels(await labelsOn(page), glossary(), masker(fleet, ['English', 'Español', 'Français']))).toEqual(
      [],
    );
    await page.getByText('For the site’s own people').click();
    // Nothing has the focus: keys are the keypad's.
    await page.evaluate('document.activeElement?.blur()');

    // The first PINs may still be on their way in.
    for (let i = 0; i < 20; i++) {
      await swipe(card.number);
      await screenIs('pin');
      await type(demoPin(driver.id));
      if ((await screenIs('question', 'choose', 'refused')) !== 'refused') break;
      await page.keyboard.press('Escape');
      await screenIs('idle');
    }
    expect(await screenIs('question')).toBe('question');
    await page.getByRole('textbox', { name: 'Answer', exact: true }).waitFor();
    await look('question');
    await type('1100');
    await screenIs('choose');
    await look('choose');
    await type('2', false);
    await screenIs('authorised');
    await look('authorised');
    await page.getByRole('button', { name: 'Lift, hose 2' }).press('Space');
    await page.getByRole('button', { name: 'Squeeze, hose 2' }).press('Space');
    await page.getByText(/\d gal of/).waitFor();
    await screenIs('flowing');
    await look('flowing');
    await page.getByRole('button', { name: 'Hang up, hose 2' }).press('Space');
    await screenIs('filled');
    await look('filled');
    await screenIs('idle');
    expect(seen).toEqual([]);
  } finally {
    await browser?.close();
    await site.stop();
    rmSync(dataDir, { recursive: true, force: true });
  }
});
