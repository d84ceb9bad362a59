import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { checkRow, type Layout, newRow } from '../fleet/index.ts';
import { onDisplay, onPaper } from './arrange.ts';
import { displayOf, receiptLines } from './display.ts';
import { layOut, lengthOf } from './layout.ts';
import { displaySize } from './plan.ts';
import type { ReceiptFacts } from './types.ts';
import { usualReceipt } from './usual.ts';

const facts: ReceiptFacts = {
  fill: 'yard-e-12',
  at: 0,
  hose: 2,
  productName: 'DIESEL',
  ul: 37_854_118,
  unit: 'gal',
  price: null,
  amount: null,
  currency: 'USD',
  driver: 'driver-01',
  answers: { q1: '123456', q2: 'K 77' },
  reason: 'hung',
};
const names = {
  nameOf: (id: string) => (id === 'driver-01' ? 'Maximiliana Featherstonehaugh-Okonkwo' : id),
  kindOf: (q: string) => ({ q1: 'odometer', q2: 'job' })[q],
};
const own: Layout = [
  [{ words: { en: 'Welcome', es: 'Bienvenido' }, align: 'centre' }],
  [
    { label: 'quantity', align: 'left' },
    { field: 'quantity', align: 'right' },
  ],
  [
    { label: 'price', align: 'left' },
    { field: 'price', align: 'right' },
  ],
  [],
  [
    { label: 'driver', align: 'left' },
    { field: 'driver', align: 'right' },
  ],
  [
    { label: 'odometer', align: 'left' },
    { field: 'odometer', align: 'right' },
  ],
];
const terminal = {
  receiptHead: ['not used'],
  receiptFoot: [],
  paper: 20,
  layouts: { idle: null, flowing: null, filled: null, receipt: own },
};

describe('a layout of one’s own', () => {
  it('prints a receipt in the driver’s language; what has no value is left out, what is too wide is broken and told', () => {
    const { lines, overflow, broken } = receiptLines(facts, terminal, 'es', '', names);
    expect(lines.map((l) => l.trimEnd())).toEqual([
      '     Bienvenido',
      'Cantidad  10.000 gal',
      '',
      'Conductor',
      '         Maximiliana',
      'Featherstonehaugh-Ok',
      '              onkwo'.padStart(20),
      'Odómetro      123456',
    ]);
    expect(overflow).toEqual([]);
    expect(broken).toEqual([{ row: 4, text: 'Conductor Maximiliana Featherstonehaugh-Okonkwo', lines: 4 }]);
    // French is not written: the first language that is.
    expect(receiptLines(facts, terminal, 'fr', '', names).lines[0]?.trim()).toBe('Welcome');
  });

  it('keeps each row’s place on a display, dark where it has no value, and reports what is cut', () => {
    const idle: Layout = [
      [{ field: 'site', align: 'centre' }],
      [{ field: 'address', align: 'left' }],
      [{ field: 'says', align: 'right' }],
    ];
    const laid = displayOf(
      'idle',
      'en',
      { lines: ['not used'] },
      {
        columns: 12,
        rows: 3,
        siteName: 'North yard',
        siteAddress: '',
        layouts: { idle, flowing: null, filled: null, receipt: null },
      },
    );
    expect(laid.lines).toEqual([' North yard ', ' '.repeat(12), 'Present your']);
    expect(laid.overflow).toEqual([{ line: 2, text: 'Present your card', over: 5 }]);
  });

  it('aligns two cells each in its half, unless the second is at the right', () => {
    expect(
      layOut(
        [
          [
            { text: 'a', align: 'centre' },
            { text: 'b', align: 'centre' },
          ],
        ],
        10,
      ).lines,
    ).toEqual(['  a    b  ']);
    expect(
      layOut(
        [
          [
            { text: 'a', align: 'left' },
            { text: 'b', align: 'right' },
          ],
        ],
        10,
      ).lines,
    ).toEqual(['a        b']);
  });

  it('loses no letter on paper, at any width', () => {
    const word = fc.stringMatching(/^[A-Za-z]{1,30}$/);
    const said = fc.array(word, { minLength: 1, maxLength: 4 }).map((w) => w.join(' '));
    const align = fc.constantFrom('left' as const, 'centre' as const, 'right' as const);
    const row = fc.array(fc.record({ words: fc.record({ en: said }), align }), { minLength: 1, maxLength: 4 });
    fc.assert(
      fc.property(fc.array(row, { maxLength: 5 }), fc.integer({ min: 16, max: 80 }), (layout, width) => {
        const { lines, broken } = onPaper(layout, {}, 'en', width);
        const laid = layOut(lines, width);
        expect(laid.overflow).toEqual([]);
        for (const line of laid.lines) expect(lengthOf(line)).toBe(width);
        const bare = (t: string) => t.replace(/\s/g, '');
        expect(bare(laid.lines.join(''))).toBe(
          bare(
            layout
              .flat()
              .map((c) => c.words.en)
              .join(''),
          ),
        );
        if (broken.length === 0) expect(laid.lines.length).toBe(layout.length);
      }),
      { seed: 7 },
    );
  });

  it('takes only fields of its list, and words in one language at least', () => {
    const row = newRow('terminals', { id: 't', site: 's', island: 'i', name: 'T' });
    const wrong = (layout: unknown) => checkRow('terminals', { ...row, receiptLayout: layout }).map((p) => p.code);
    expect(wrong([[{ field: 'quantity', align: 'right' }], []])).toEqual([]);
    expect(wrong([[{ field: 'limit', align: 'right' }]])).toEqual(['FW-201']);
    expect(wrong([[{ words: {}, align: 'left' }]])).toEqual(['FW-201']);
    expect(wrong([[{ field: 'quantity' }]])).toEqual(['FW-201']);
    expect(checkRow('terminals', { ...row, languages: [] }).length).toBe(1);
    expect(checkRow('terminals', { ...row, languages: ['es', 'es'] }).length).toBe(1);
  });

  it('is what the usual receipt is made of, so that both print alike', () => {
    const head = { receiptHead: ['Yard', ' '], receiptFoot: ['Bye'] };
    const usual = receiptLines(facts, { ...head, paper: 40 }, 'en', '2026-11-25 07:10', names);
    const same = { idle: null, flowing: null, filled: null, receipt: usualReceipt(head) };
    expect(receiptLines(facts, { ...head, paper: 40, layouts: same }, 'en', '2026-11-25 07:10', names)).toEqual(usual);
    expect(onDisplay([[]], {}, 'en')).toEqual(['']);
  });
});

it('counts the characters of a display that is made of dots', () => {
  const row = newRow('terminals', { id: 't', site: 's', island: 'i', name: 'T' });
  expect(displaySize({ ...row, dotsAcross: 240, dotsDown: 64 })).toEqual({ columns: 20, rows: 4 });
  expect(displaySize({ ...row, dots: 'small', dotsAcross: 240, dotsDown: 64 })).toEqual({ columns: 40, rows: 8 });
  expect(displaySize({ ...row, dots: 'large', dotsAcross: 240, dotsDown: 64 })).toEqual({ columns: 20, rows: 2 });
  expect(displaySize({ ...row, dots: 'even', dotsAcross: null, dotsDown: 60 })).toEqual({ columns: 20, rows: 3 });
});
