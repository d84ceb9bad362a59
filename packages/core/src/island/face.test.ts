import { describe, expect, it } from 'vitest';
import { emptyFleet, type Fleet, newRow, type RowOf } from '../fleet/index.ts';
import { cutOf, sampleReceipt, screensOf, shownIn } from './face.ts';
import { layOut, lengthOf } from './layout.ts';
import { planOf } from './plan.ts';
import { REASONS, SCREENS } from './words.ts';

function yard(terminal: Partial<RowOf<'terminals'>> = {}): Fleet {
  const fleet = emptyFleet({ name: 'Wharf Works', units: 'us', currency: 'USD' });
  const put = (table: 'sites' | 'products' | 'terminals' | 'hoses' | 'questions' | 'prices', row: { id: string }) =>
    (fleet[table] as unknown as Map<string, unknown>).set(row.id, newRow(table, row));
  put('sites', { id: 'w', name: 'Wharf', zone: 'UTC' } as { id: string });
  put('products', { id: 'd', name: 'Diesel', short: 'DIESEL' } as { id: string });
  put('questions', { id: 'q', prompt: 'Job number', kind: 'job', digits: 4 } as { id: string });
  put('hoses', { id: 'h', site: 'w', number: 7, product: 'd', terminals: ['t'] } as { id: string });
  put('prices', { id: 'p', product: 'd', from: '2026-01-01', price: 42_500 } as { id: string });
  put('terminals', { id: 't', site: 'w', name: 'T', paper: 24, ...terminal } as { id: string });
  return fleet;
}
const time = { at: Date.UTC(2026, 5, 10), text: '2026-06-10 09:00', day: 20_614 };

describe('the face of a terminal', () => {
  it('has every screen, every question and every reason, by what the site declares', () => {
    const plan = planOf(yard({ idle: ['Welcome'] }), 'w', 1);
    const faces = (plan && screensOf(plan, 't', 378_541_178)) ?? [];
    expect(new Set(faces.map((f) => f.screen))).toEqual(new Set(Object.keys(SCREENS)));
    expect(new Set(faces.map((f) => f.id)).size).toBe(faces.length);
    const said = new Set(faces.filter((f) => f.screen === 'refused').map((f) => REASONS[String(f.data.why)]?.fr));
    for (const words of Object.values(REASONS)) expect(said).toContain(words.fr);
    const english = (screen: string) => {
      const face = faces.find((f) => f.screen === screen);
      return face ? shownIn(face, { columns: 20, rows: 4 })[0]?.laid.lines.map((l) => l.trim()) : [];
    };
    expect(english('idle')).toEqual(['Welcome', '', '', '']);
    expect(english('choose')).toEqual(['Choose a hose', '7 DIESEL', '', '']);
    expect(english('question')).toEqual(['Job number', '', '', '8888']);
    expect(english('authorised')?.join(' ')).toContain('Lift nozzle 7. Up to 100');
    expect(plan && screensOf(plan, 'none', 1)).toBeUndefined();
  });

  it('tells what is cut, letter by letter', () => {
    const laid = layOut([{ text: 'Présentez la carte', align: 'centre' }, 'ok', 'below'], 12, 2);
    expect(laid.overflow.map(cutOf)).toEqual([
      { fits: 'Présentez la', cut: ' carte' },
      { fits: '', cut: 'below' },
    ]);
    for (const over of laid.overflow) expect(lengthOf(cutOf(over).cut)).toBe(over.over);
  });

  it('prints a receipt of the width of the paper, with the price in force, and none without a printer', () => {
    const plan = planOf(yard({ receiptHead: ['A head that is longer than it may be'] }), 'w', 1);
    const terminal = plan?.terminals.t;
    if (!terminal) throw new Error('no terminal');
    const fleet = yard();
    const laid = sampleReceipt(fleet, terminal, 'w', 'en', time);
    expect(laid?.lines.every((line) => lengthOf(line) === 24)).toBe(true);
    // 100 gal at 4.25 is 425.00: by hand.
    expect(laid?.lines.join('\n')).toMatch(/Amount +425\.00 USD/);
    expect(laid?.overflow).toEqual([]);
    expect(laid?.broken).toEqual([{ row: 0, text: 'A head that is longer than it may be', lines: 2 }]);
    expect(sampleReceipt(fleet, { ...terminal, paper: null }, 'w', 'en', time)).toBeNull();
  });
});
