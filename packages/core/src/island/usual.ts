import { LANGUAGE_IDS, type Layout, type LayoutCell, type LayoutField, type LayoutRow } from '../fleet/index.ts';
import type { TerminalPlan } from './types.ts';

/** The layouts of a terminal that has none of its own. */

const field = (name: LayoutField, align: LayoutCell['align'] = 'left'): LayoutCell => ({ field: name, align });
const named = (name: LayoutField): LayoutRow => [{ label: name, align: 'left' }, field(name, 'right')];
const own = (text: string): LayoutRow =>
  text.trim() === '' ? [] : [{ words: { [LANGUAGE_IDS[0] as 'en']: text }, align: 'centre' }];

const PRINTED: readonly LayoutField[] = [
  'time',
  'fill',
  'hose',
  'product',
  'quantity',
  'price',
  'amount',
  'driver',
  'vehicle',
];

export const usualReceipt = ({
  receiptHead,
  receiptFoot,
}: Pick<TerminalPlan, 'receiptHead' | 'receiptFoot'>): Layout => [
  ...receiptHead.map(own),
  ...PRINTED.map(named),
  ...receiptFoot.map(own),
];

/** As much of a fill as the display has rows for, what matters most first. */
export function usualFlow(rows: number, done: boolean): Layout {
  const what: LayoutRow = [field('hose'), field('quantity', 'right')];
  if (rows < 3) return [what, [field('amount', 'right')]].slice(0, rows);
  const all = [
    [field('says', 'centre')],
    [field('product'), field('quantity', 'right')],
    named('amount'),
    named(done ? 'price' : 'limit'),
  ];
  return all.slice(0, rows);
}

export const usualIdle = ({ idle }: Pick<TerminalPlan, 'idle'>): Layout =>
  idle.length > 0 ? idle.map(own) : [[field('says', 'centre')]];
