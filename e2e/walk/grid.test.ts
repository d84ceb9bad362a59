import type { Browser, Page } from 'playwright-core';
import { afterAll, describe, expect, it } from 'vitest';
import { cardOf, smallFleet } from '../stage/fleet.ts';
import { Office, OWNER } from '../stage/office.ts';
import { openStage } from '../stage/stage.ts';
import { openBrowser } from './browser.ts';

/** The grid under the hand, the keys and the clipboard. The credentials of the small fleet: number, kind, driver, vehicle, from, until, stopped, id. */
const stage = openStage();
let browser: Browser | undefined;
afterAll(async () => {
  await browser?.close();
  await stage.end();
});

const [NUMBER, KIND, DRIVER, VEHICLE, STOPPED] = [0, 1, 2, 3, 6];

const gridOf = (page: Page, office: Office) => {
  const grid = page.getByRole('grid', { name: 'credentials' });
  const cell = (row: number, column: number) => grid.locator(`[data-r="${row}"][data-c="${column}"]`);
  const text = async (row: number, column: number) => (await cell(row, column).textContent()) ?? '';
  const comesTo = (what: string, ask: () => Promise<string>, wanted: string) =>
    office.until(
      `${what}: ${wanted}`,
      async () => {
        const found = await ask();
        if (found !== wanted) throw new Error(found);
        return true;
      },
      20_000,
    );
  const says = (row: number, column: number, words: string) =>
    comesTo(`row ${row}, column ${column}`, () => text(row, column), words);
  const selected = () => grid.locator('[aria-selected="true"]').count();
  const active = async () => ((await grid.getAttribute('aria-activedescendant')) ?? '').split('-').slice(-2).join('-');
  const isActive = (row: number, column: number) => comesTo('the active cell', active, `${row}-${column}`);
  const middle = async (row: number, column: number) => {
    const box = await cell(row, column).boundingBox();
    if (!box) throw new Error(`row ${row}, column ${column} is not in sight`);
    return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
  };
  return { grid, cell, text, says, selected, isActive, middle };
};

describe('the grid', () => {
  it('is worked by keys, hand and clipboard', { timeout: 300_000 }, async () => {
    const office = await Office.open(stage);
    await office.commission(smallFleet());
    browser = await openBrowser();
    const context = await browser.newContext({ viewport: { width: 1500, height: 900 } });
    await context.grantPermissions(['clipboard-read', 'clipboard-write'], { origin: office.url });
    const page = await context.newPage();
    page.setDefaultTimeout(30_000);
    await page.goto(`${office.url}/roster?show=credentials`);
    await page.getByLabel('E-mail').fill(OWNER.email);
    await page.getByLabel('Password').fill(OWNER.password);
    await page.getByRole('button', { name: 'Sign in' }).click();
    const { grid, cell, text, says, selected, isActive, middle } = gridOf(page, office);
    const { keyboard, mouse } = page;
    await says(0, NUMBER, cardOf(0));
    expect(await text(5, DRIVER)).toBe('Abel Stoke');

    // Keys: move, extend, everything, a whole row, the edges.
    await cell(0, NUMBER).click();
    await keyboard.press('ArrowDown');
    await keyboard.press('ArrowRight');
    await isActive(1, KIND);
    await keyboard.press('Shift+ArrowDown');
    expect(await selected()).toBe(2);
    await keyboard.press('Shift+Space');
    expect(await selected()).toBe(2 * 8);
    await keyboard.press('Control+a');
    expect(await selected()).toBe(6 * 8);
    await keyboard.press('Control+Home');
    await isActive(0, NUMBER);
    await keyboard.press('Control+ArrowDown');
    await isActive(5, NUMBER);

    // Written in: a letter begins anew, Enter goes down, Tab right, Escape leaves it, a blank turns a flag over.
    await cell(0, NUMBER).click();
    await keyboard.type('8');
    await keyboard.type('0000');
    await keyboard.press('Enter');
    await says(0, NUMBER, '80000');
    await isActive(1, NUMBER);
    await keyboard.press('F2');
    await keyboard.press('End');
    await keyboard.type('9');
    await keyboard.press('Tab');
    await says(1, NUMBER, `${cardOf(1)}9`);
    await isActive(1, KIND);
    await keyboard.type('nonsense');
    await keyboard.press('Escape');
    await says(1, KIND, 'card');
    await cell(1, STOPPED).click();
    await keyboard.press('Space');
    await says(1, STOPPED, 'yes');
    await cell(2, KIND).dblclick();
    await keyboard.press('Control+a');
    await keyboard.type('fob');
    await keyboard.press('Enter');
    await says(2, KIND, 'fob');

    // The hand: a block, then its handle pulled down.
    const from = await middle(2, KIND);
    const to = await middle(3, DRIVER);
    await mouse.move(from.x, from.y);
    await mouse.down();
    await mouse.move(to.x, to.y, { steps: 4 });
    await mouse.up();
    expect(await selected()).toBe(4);
    await cell(2, KIND).click();
    const handle = await grid.locator('[data-handle]').boundingBox();
    if (!handle) throw new Error('the selection has no handle');
    const end = await middle(4, KIND);
    await mouse.move(handle.x + handle.width / 2, handle.y + handle.height / 2);
    await mouse.down();
    await mouse.move(end.x, end.y, { steps: 4 });
    expect(await selected()).toBe(3);
    await mouse.up();
    await says(3, KIND, 'fob');
    await says(4, KIND, 'fob');
    expect(await text(5, KIND)).toBe('card');
    expect(await selected()).toBe(3);

    // A button that is let go outside of the grid holds nothing when the hand comes back.
    const start = await middle(0, KIND);
    await mouse.move(start.x, start.y);
    await mouse.down();
    await mouse.move(start.x, 5, { steps: 4 });
    await mouse.up();
    await mouse.move(to.x, to.y, { steps: 4 });
    expect(await selected()).toBe(1);

    // Ctrl D fills, Delete empties; what may not be empty is named.
    await cell(4, KIND).click();
    await cell(5, KIND).click({ modifiers: ['Shift'] });
    await keyboard.press('Control+d');
    await says(5, KIND, 'fob');
    await cell(5, DRIVER).click();
    await keyboard.press('Delete');
    await says(5, DRIVER, 'none');

    // The clipboard: copied, pasted below, beyond the last row, and cut.
    await cell(0, DRIVER).click();
    await keyboard.press('Control+c');
    await cell(5, DRIVER).click();
    await keyboard.press('Control+v');
    await says(5, DRIVER, 'Orla Finch');
    await page.evaluate("navigator.clipboard.writeText('90001\\tcard\\n90002\\tbaton')");
    await cell(5, NUMBER).click();
    await keyboard.press('Control+v');
    await says(5, NUMBER, '90001');
    await says(6, NUMBER, '90002');
    await page.getByText('One cell was not taken').waitFor();
    await page.getByText('Row 7, Kind:').waitFor();
    await page.getByRole('button', { name: 'Understood' }).click();
    await cell(6, NUMBER).click();
    await keyboard.press('Control+x');
    await says(6, NUMBER, '');
    expect(await page.evaluate('navigator.clipboard.readText()')).toBe('90002');

    // Rows: one more and fewer; found; sorted; filtered.
    await page.getByRole('button', { name: 'Add credential' }).click();
    await page.getByText('8 credentials').waitFor();
    await isActive(7, NUMBER);
    await cell(6, KIND).click();
    await cell(7, KIND).click({ modifiers: ['Shift'] });
    await page.getByRole('button', { name: 'Remove 2 rows' }).click();
    await isActive(5, KIND);
    await page.getByText('6 credentials').waitFor();
    const find = page.getByRole('searchbox', { name: 'Find in credentials' });
    await find.fill('Ines');
    await find.press('Enter');
    await isActive(2, DRIVER);
    await grid.getByRole('button', { name: 'Number', exact: true }).click();
    await grid.getByRole('button', { name: 'Number', exact: true }).click();
    await says(0, NUMBER, `${cardOf(1)}9`);
    await page.getByRole('searchbox', { name: 'Filter Kind' }).fill('fob');
    await page.getByText('3 of 6 credentials').waitFor();
    await page.getByRole('button', { name: 'Clear filters' }).click();
    await page.getByText('6 credentials').waitFor();

    // A row beside the grid, by its key.
    await cell(0, VEHICLE).click();
    await keyboard.press('Control+Enter');
    await page.getByRole('complementary', { name: /^credential / }).waitFor();
  });
});
