import { formatDecimal, formatVolume, type VolumeUnit } from '../units/index.ts';
import { type Laid, type Line, layOut, wrap } from './layout.ts';
import type { Language, ReceiptFacts, ScreenData, ScreenName, TerminalPlan } from './types.ts';
import { fillIn, RECEIPT_WORDS, reasonWords, SCREENS, WHOSE } from './words.ts';

/** One sentence for a screen: for a page, a screen reader, or the first lines of a display. */
export function sentenceOf(screen: ScreenName, language: Language, data: ScreenData): string {
  const text = (name: string) => String(data[name] ?? '');
  const unit = data.unit as VolumeUnit | undefined;
  return fillIn(SCREENS[screen][language], {
    of: WHOSE[text('of')]?.[language] ?? '',
    why: reasonWords(text('why'), language),
    number: text('number'),
    prompt: text('prompt'),
    limit: unit === undefined ? '' : `${formatVolume(Number(data.limitUl ?? 0), unit)} ${unit}`,
  });
}

/** A screen on a terminal's display: the sentence, then its lines, with what is keyed on the last row. */
export function displayOf(
  screen: ScreenName,
  language: Language,
  data: ScreenData,
  terminal: Pick<TerminalPlan, 'columns' | 'rows'>,
): Laid {
  const { columns, rows } = terminal;
  const own = Array.isArray(data.lines) ? (data.lines as readonly string[]) : [];
  const centred = (text: string): Line => ({ text, align: 'centre' });
  const head = wrap(sentenceOf(screen, language, data), columns).map(centred);
  // A site's own idle text stands for ours; where it has none, ours is shown.
  const lines: Line[] = screen === 'idle' && own.length > 0 ? own.map(centred) : [...head, ...own];
  const typed = data.typed;
  if (typeof typed === 'string' && typed !== '') {
    while (lines.length < rows - 1) lines.push('');
    lines.push({ text: typed, align: 'right' });
  }
  return layOut(lines, columns, rows);
}

/** Fields that a receipt may show, in this order. */
export const RECEIPT_FIELDS = [
  'time',
  'fill',
  'hose',
  'product',
  'quantity',
  'price',
  'amount',
  'driver',
  'vehicle',
] as const;
export type ReceiptField = (typeof RECEIPT_FIELDS)[number];

/** A receipt on paper. `time` is the local time as text; `names` gives people's words for ids. */
export function receiptLines(
  facts: ReceiptFacts,
  terminal: Pick<TerminalPlan, 'receiptHead' | 'receiptFoot'> & { readonly paper: number },
  language: Language,
  time: string,
  names: (id: string) => string = (id) => id,
  fields: readonly ReceiptField[] = RECEIPT_FIELDS,
): Laid {
  const money = (value: number, places: 2 | 4) => `${formatDecimal(value, 4, places)} ${facts.currency}`;
  const value: Readonly<Record<ReceiptField, string | null>> = {
    time,
    fill: facts.fill,
    hose: String(facts.hose),
    product: facts.productName,
    quantity: `${formatVolume(facts.ul, facts.unit, 3)} ${facts.unit}`,
    price: facts.price === null ? null : `${money(facts.price, 2)}/${facts.unit}`,
    amount: facts.amount === null ? null : money(Math.round(facts.amount / 100) * 100, 2),
    driver: facts.driver === undefined ? null : names(facts.driver),
    vehicle: facts.vehicle === undefined ? null : names(facts.vehicle),
  };
  const lines: Line[] = terminal.receiptHead.map((text): Line => ({ text, align: 'centre' }));
  for (const field of fields) {
    const text = value[field];
    if (text === null) continue;
    const label = RECEIPT_WORDS[field][language];
    if ([...label].length + 1 + [...text].length <= terminal.paper) lines.push([{ text: label }, { text }]);
    else lines.push(label, ...wrap(text, terminal.paper).map((part): Line => ({ text: part, align: 'right' })));
  }
  lines.push(...terminal.receiptFoot.map((text): Line => ({ text, align: 'centre' })));
  return layOut(lines, terminal.paper);
}
