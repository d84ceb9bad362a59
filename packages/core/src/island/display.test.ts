import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { BLOCKS } from './blocks.ts';
import { displayOf, receiptLines, sentenceOf } from './display.ts';
import { layOut, lengthOf, wrap } from './layout.ts';
import type { ReceiptFacts, ScreenName } from './types.ts';
import { LANGUAGES, REASONS, SCREENS } from './words.ts';

describe('layout', () => {
  it('aligns by itself and reports what does not fit', () => {
    expect(layOut([{ text: 'ab', align: 'centre' }, [{ text: 'Hose' }, { text: '12' }]], 8, 3)).toEqual({
      lines: ['   ab   ', 'Hose  12', '        '],
      overflow: [],
    });
    expect(layOut(['far too long', 'x', 'y'], 5, 2).overflow).toEqual([
      { line: 0, text: 'far too long', over: 7 },
      { line: 2, text: 'y', over: 1 },
    ]);
  });
  it('always gives whole lines, and wraps without losing a letter', () => {
    fc.assert(
      fc.property(
        fc.array(fc.string({ unit: 'grapheme', maxLength: 30 }), { maxLength: 6 }),
        fc.integer({ min: 1, max: 40 }),
        (lines, columns) => {
          for (const line of layOut(lines, columns, 4).lines) expect(lengthOf(line)).toBe(columns);
        },
      ),
      { seed: 3 },
    );
    fc.assert(
      fc.property(fc.lorem({ maxCount: 12 }), fc.integer({ min: 3, max: 30 }), (text, columns) => {
        const lines = wrap(text, columns);
        for (const line of lines) expect(lengthOf(line)).toBeLessThanOrEqual(columns);
        expect(lines.join('').replaceAll(' ', '')).toBe(text.replace(/\s/g, ''));
      }),
      { seed: 4 },
    );
  });
});

describe('words', () => {
  it('fit a display of 20 by 4 in every language, and every block and hold has them', () => {
    for (const language of Object.keys(LANGUAGES) as (keyof typeof LANGUAGES)[])
      for (const screen of Object.keys(SCREENS) as ScreenName[])
        for (const why of Object.keys(REASONS)) {
          const data = {
            why,
            number: 88,
            of: 'vehicle',
            prompt: 'Odometer',
            limitUl: 302_832_943,
            unit: 'gal',
            typed: '',
          };
          const laid = displayOf(screen, language, data, { columns: 20, rows: 4 });
          expect(laid.overflow, `${language} ${screen} ${why}`).toEqual([]);
          expect(sentenceOf(screen, language, data)).not.toMatch(/[{}]/);
        }
    for (const block of Object.keys(BLOCKS)) expect(REASONS[block], block).toBeDefined();
  });
});

it('prints a receipt with what was drawn', () => {
  const facts: ReceiptFacts = {
    fill: 'yard.e.12',
    at: 0,
    hose: 2,
    productName: 'DIESEL',
    ul: 37_854_118,
    unit: 'gal',
    price: 38_450,
    amount: 384_500,
    currency: 'USD',
    driver: 'driver-01',
    answers: {},
    reason: 'hung',
  };
  const terminal = { receiptHead: ['Yard'], receiptFoot: [], paper: 32 };
  const { lines, overflow, broken } = receiptLines(facts, terminal, 'en', '2026-11-25 07:10');
  expect([overflow, broken]).toEqual([[], []]);
  expect(lines).toContain(`Quantity${'10.000 gal'.padStart(32 - 'Quantity'.length)}`);
  expect(lines).toContain(`Price${'3.845 USD/gal'.padStart(32 - 'Price'.length)}`);
  expect(lines).toContain(`Amount${'38.45 USD'.padStart(32 - 'Amount'.length)}`);
  expect(lines.every((l) => l.length === 32)).toBe(true);
});
