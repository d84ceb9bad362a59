import { readFileSync } from 'node:fs';
import AxeBuilder from '@axe-core/playwright';
import { toWorkbook } from '@fillwright/intake';
import type { Browser, Locator, Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { Box } from '../stage/box.ts';
import { smallFleet, YARD } from '../stage/fleet.ts';
import { Office, OWNER } from '../stage/office.ts';
import { openStage } from '../stage/stage.ts';
import { openBrowser } from './browser.ts';
import { glossary, labelsOn, masker, unknownLabels } from './labels.ts';

/** The main job in a browser, as somebody would do it on their first day. FILLWRIGHT_WALK=quick leaves the accessibility checks out. */
const QUICK = process.env.FILLWRIGHT_WALK === 'quick';
const PATIENCE = 60_000;

/** What is wrong with the look of pages, collected so that one walk tells all of it. */
interface Looks {
  readonly barriers: string[];
  readonly labels: Set<string>;
}

async function look(page: Page, name: string, looks: Looks): Promise<void> {
  for (const label of await labelsOn(page)) looks.labels.add(label);
  if (QUICK) return;
  for (const colorScheme of ['light', 'dark'] as const) {
    await page.emulateMedia({ colorScheme, reducedMotion: 'reduce' });
    const { violations } = await new AxeBuilder({ page }).analyze();
    for (const v of violations)
      looks.barriers.push(
        `${name}, ${colorScheme}: ${v.id}: ${v.help}: ${v.nodes
          .slice(0, 3)
          .map((n) => n.html.slice(0, 160))
          .join(' | ')}`,
      );
  }
}

describe('from an empty office to a fill in the ledger', () => {
  it('walks the whole line in a browser', { timeout: 900_000 }, async () => {
    const stage = openStage();
    let browser: Browser | undefined;
    try {
      const office = await Office.open(stage);
      browser = await openBrowser();
      const context = await browser.newContext({ viewport: { width: 1400, height: 1000 }, acceptDownloads: true });
      context.setDefaultTimeout(PATIENCE);
      const page = await context.newPage();
      const looks: Looks = { barriers: [], labels: new Set() };
      const fleet = smallFleet();

      const step = async (name: string, deed: () => Promise<void>) => {
        try {
          await deed();
        } catch (cause) {
          const shown = await page
            .locator('body')
            .textContent({ timeout: 5_000 })
            .catch(() => 'no page');
          throw new Error(
            `step '${name}': ${cause instanceof Error ? cause.message : String(cause)}\n--- the page ---\n${(shown ?? '').slice(0, 3_000)}\n${stage.tails(15)}`,
          );
        }
      };
      const shows = (what: Locator) => what.first().waitFor({ state: 'visible' });
      const goTo = async (label: string) => {
        await page.getByRole('navigation', { name: 'Pages' }).getByRole('link', { name: label, exact: true }).click();
        await shows(page.getByRole('heading', { level: 1, name: label }));
      };
      const kept = () => shows(page.getByText(/Every change is kept/));

      await step('make the owner', async () => {
        await page.goto(office.url);
        await shows(page.getByRole('heading', { name: 'A new office' }));
        await look(page, 'first run', looks);
        await page.getByLabel('Name of the fleet').fill(fleet.settings.name);
        await page.getByLabel('Your name').fill(OWNER.name);
        await page.getByLabel('E-mail').fill(OWNER.email);
        await page.getByLabel('Password').fill(OWNER.password);
        await page.getByRole('button', { name: 'Make the office' }).click();
        await shows(page.getByRole('heading', { level: 1, name: 'Today' }));
        await office.signIn();
      });

      await step('import a workbook', async () => {
        await goTo('Import');
        const book = {
          name: 'tidewharf.xlsx',
          mimeType: 'application/octet-stream',
          buffer: Buffer.from(await toWorkbook(fleet)),
        };
        await page.getByLabel('File to import').setInputFiles(book);
        await shows(page.getByText('Every cell could be read'));
        await look(page, 'import', looks);
        await page.getByRole('button', { name: 'Take into the draft' }).click();
        await shows(page.getByText(/is in the draft, as one change/));
      });

      await step('change an allowance and undo', async () => {
        await goTo('Policy');
        await page.getByRole('button', { name: 'Open row 1' }).click();
        const perFill = page.getByRole('textbox', { name: 'Per fill', exact: true });
        const before = await perFill.inputValue();
        await perFill.fill('20');
        await perFill.press('Enter');
        await kept();
        await look(page, 'policy', looks);
        await page.getByRole('button', { name: 'Undo' }).click();
        await office.until(
          'the draft has the allowance as it was',
          async () => (await perFill.inputValue()) === before,
        );
      });

      await step('draw a second site and change a hose', async () => {
        await goTo('Sheet');
        await page.getByRole('button', { name: 'New site' }).click();
        const dialog = page.getByRole('dialog');
        await dialog.getByLabel('Name', { exact: true }).fill('Heronsgate Yard');
        await dialog.getByLabel('Begin with').selectOption('one-diesel');
        await dialog.getByRole('button', { name: 'Make the site' }).click();
        await shows(page.getByRole('heading', { name: 'Site Heronsgate Yard' }));
        await page
          .getByRole('button', { name: /^hose 1/i })
          .first()
          .click();
        const most = page.getByRole('textbox', { name: 'Most per fill', exact: true });
        await most.fill('40');
        await most.press('Enter');
        await kept();
        await look(page, 'sheet', looks);
      });

      await step('try a fill on the bench', async () => {
        await goTo('Bench');
        await page.getByRole('combobox', { name: 'Site' }).selectOption(YARD);
        const card = page.getByRole('combobox', { name: 'Credential', exact: true });
        await card.fill('70100');
        await card.press('Enter');
        await shows(page.getByRole('heading', { name: /Approved, up to/ }));
        await look(page, 'bench, approved', looks);
        await card.fill('999999');
        await card.press('Enter');
        await shows(page.getByRole('heading', { name: 'Declined' }));
        await look(page, 'bench, declined', looks);
      });

      await step('read the findings', async () => {
        await goTo('Findings');
        await look(page, 'findings', looks);
      });

      await step('release', async () => {
        await goTo('Release');
        await shows(page.getByRole('heading', { name: 'What stands against it' }));
        await page.getByLabel('Word for: what is gained').waitFor({ timeout: 120_000 });
        for (const word of await page.getByLabel(/^Word for: /).all()) await word.fill('Meant so.');
        await page.getByLabel('Note').fill('Opening day');
        await look(page, 'release', looks);
        await page.getByRole('button', { name: 'Release to every site' }).click();
        await page.getByRole('alertdialog').getByRole('button', { name: 'Release', exact: true }).click();
        await shows(page.getByText('Release 1 is on its way'));
      });

      await step('a box joins and fuel flows', async () => {
        const box = new Box(stage, YARD);
        await box.join(office, { pace: 10 });
        await box.until('the box runs release 1', (v) => v.running === 1);
        const terminal = await context.newPage();
        await terminal.goto(box.url);
        const press = (name: string | RegExp) => terminal.getByRole('button', { name }).click();
        await shows(terminal.getByRole('heading', { name: 'Tidewharf Yard' }));
        await look(terminal, 'terminal', looks);
        await press(/70100/);
        await press('Choose, hose 1');
        await box.until('the hose is ready', (v) => v.hoses.some((h) => h.number === 1 && h.lamp === 'ready'));
        await press('Lift, hose 1');
        await press('Squeeze, hose 1');
        await box.until('fuel flows', (v) =>
          v.hoses.some((h) => h.number === 1 && Number.parseFloat(h.quantity ?? '0') > 2),
        );
        await press('Let go, hose 1');
        await press('Hang up, hose 1');
        await box.until(
          'the fill has ended and is sent',
          (v) => v.hoses.every((h) => h.state === 'idle') && v.unsent === 0,
        );
        await terminal.close();
      });

      await step('read the ledger', async () => {
        await goTo('Ledger');
        const line = page.getByRole('row', { name: /Orla Finch/ });
        await shows(line.filter({ hasText: 'ended' }));
        await look(page, 'ledger', looks);
        const [download] = await Promise.all([
          page.waitForEvent('download'),
          page.getByRole('link', { name: 'CSV' }).click(),
        ]);
        const csv = readFileSync((await download.path()) ?? '', 'utf8');
        expect(csv).toContain('Orla Finch');
        await line.getByRole('button').click();
        await shows(page.getByRole('heading', { name: 'Journal entries' }));
        await page.getByRole('button', { name: 'Why?' }).click();
        await shows(page.getByText(/comes out the same/));
        const wished = page.getByLabel(/^Wished volume/);
        await wished.fill('5000');
        await wished.press('Enter');
        await shows(page.getByRole('heading', { name: 'What would have helped, at least' }));
        await look(page, 'fill', looks);
      });

      await step('answer somebody on the telephone', async () => {
        await page.getByRole('button', { name: 'Back to the ledger' }).click();
        await page.getByRole('button', { name: 'Refusals' }).click();
        await shows(page.getByText('No refusal matches.'));
        await look(page, 'refusals', looks);
        await page.getByRole('button', { name: 'Ask why' }).click();
        const card = page.getByLabel('Card number');
        await card.fill('999999');
        await card.press('Enter');
        await shows(page.getByRole('heading', { name: 'Declined' }));
        await look(page, 'ask why', looks);
      });

      await step('see who can draw when', async () => {
        await goTo('Reach');
        await page
          .getByRole('button', { name: /Show the names/ })
          .first()
          .press('Enter');
        await shows(page.getByText(/may draw, at most/));
        await look(page, 'reach', looks);
      });

      await step('set two fleets, and two sites, side by side', async () => {
        await goTo('Roster');
        await page.getByRole('button', { name: 'Open row 1' }).click();
        await shows(page.getByRole('heading', { name: 'Who is touched' }));
        await shows(page.getByText(/^Nobody: since release 1/));
        await goTo('Compare');
        await page.getByRole('combobox', { name: 'Before' }).selectOption('nothing');
        await shows(page.getByText(/^Points between nothing and the draft.* gained, of/));
        await shows(page.getByRole('link', { name: 'Show on the bench' }));
        await look(page, 'compare fleets', looks);
        await page.getByRole('button', { name: 'Two sites' }).click();
        await shows(page.getByRole('heading', { name: 'More at Heronsgate Yard' }));
        await shows(page.getByRole('heading', { name: 'Alike at both' }));
        await look(page, 'compare sites', looks);
      });

      await step('look at the other pages', async () => {
        for (const label of ['Today', 'Roster', 'Tanks', 'People', 'Settings']) {
          await goTo(label);
          await look(page, label.toLowerCase(), looks);
        }
      });

      expect.soft(looks.barriers).toEqual([]);
      const mask = masker(fleet, ['Heronsgate Yard', 'Tank 1', OWNER.name, 'English', 'Español', 'Français']);
      expect.soft(unknownLabels([...looks.labels].sort(), glossary(), mask)).toEqual([]);
    } finally {
      await browser?.close().catch(() => undefined);
      await stage.end();
    }
  });
});
