import { formatDecimal, formatVolume, type VolumeUnit } from '../units/index.ts';
import { type Broken, type FieldValues, onDisplay, onPaper } from './arrange.ts';
import { type Laid, type Line, layOut, wrap } from './layout.ts';
import type { Language, ReceiptFacts, ScreenData, ScreenName, TerminalPlan } from './types.ts';
import { usualFlow, usualReceipt } from './usual.ts';
import { fillIn, reasonWords, SCREENS, WHOSE } from './words.ts';

const volume = (ul: unknown, unit: VolumeUnit, places: 0 | 2 | 3) =>
  `${places === 0 ? formatVolume(Number(ul), unit) : formatVolume(Number(ul), unit, places)} ${unit}`;
/** Money in whole hundredths, as a driver pays it; a price as it is set. */
const money = (value: number, currency: string) => `${formatDecimal(Math.round(value / 100) * 100, 4, 2)} ${currency}`;
const priceText = (value: number, currency: string, unit: VolumeUnit) =>
  `${formatDecimal(value, 4, 2)} ${currency}/${unit}`;

/** One sentence for a screen: for a page, a screen reader, or the first lines of a display. */
export function sentenceOf(screen: ScreenName, language: Language, data: ScreenData): string {
  const text = (name: string) => String(data[name] ?? '');
  const unit = data.unit as VolumeUnit | undefined;
  return fillIn(SCREENS[screen][language], {
    of: WHOSE[text('of')]?.[language] ?? '',
    why: reasonWords(text('why'), language),
    number: text('number'),
    prompt: text('prompt'),
    limit: unit === undefined ? '' : volume(data.limitUl ?? 0, unit, 0),
  });
}

/** What a display needs of its terminal; without layouts of its own it has the usual ones. */
export type DisplayPlan = Pick<TerminalPlan, 'columns' | 'rows'> &
  Partial<Pick<TerminalPlan, 'name' | 'siteName' | 'siteAddress' | 'layouts'>>;

function valuesOf(screen: ScreenName, language: Language, data: ScreenData, terminal: DisplayPlan): FieldValues {
  const unit = data.unit as VolumeUnit | undefined;
  const currency = String(data.currency ?? '');
  return {
    says: sentenceOf(screen, language, data),
    site: terminal.siteName ?? null,
    address: terminal.siteAddress ?? null,
    terminal: terminal.name ?? null,
    ...(data.number === undefined ? {} : { hose: String(data.number) }),
    ...(data.product === undefined ? {} : { product: String(data.product) }),
    ...(unit === undefined
      ? {}
      : {
          quantity: volume(data.ul ?? 0, unit, 2),
          price: data.price === undefined ? null : priceText(Number(data.price), currency, unit),
          amount: data.amount === undefined ? null : money(Number(data.amount), currency),
          limit: data.limitUl === undefined ? null : volume(data.limitUl, unit, 0),
        }),
  };
}

/** Several hoses run from one terminal: a row each. */
function running(data: ScreenData): Line[] {
  const unit = data.unit as VolumeUnit;
  const uls = data.otherUls as readonly string[];
  const row = (who: string, ul: unknown): Line => [{ text: who }, { text: volume(ul, unit, 2), align: 'right' }];
  return [
    row(`${data.number} ${data.product}`, data.ul),
    ...(data.others as readonly string[]).map((who, i) => row(who, uls[i])),
  ];
}

/** A screen on a terminal's display: by its layout where it has one, else the sentence and its lines, with what is keyed on the last row. */
export function displayOf(screen: ScreenName, language: Language, data: ScreenData, terminal: DisplayPlan): Laid {
  const { columns, rows } = terminal;
  if (screen === 'idle' || screen === 'flowing' || screen === 'filled') {
    const own = terminal.layouts?.[screen];
    const layout = own ?? (screen === 'idle' ? undefined : usualFlow(rows, screen === 'filled'));
    if (layout) {
      const lines = Array.isArray(data.others)
        ? running(data)
        : onDisplay(layout, valuesOf(screen, language, data, terminal), language);
      return layOut(lines, columns, rows);
    }
  }
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

/** What a receipt needs of its terminal. */
export type PaperPlan = Pick<TerminalPlan, 'receiptHead' | 'receiptFoot'> &
  Partial<Pick<TerminalPlan, 'name' | 'siteName' | 'siteAddress' | 'layouts'>> & { readonly paper: number };

/** People's words for what a receipt names by its id. */
export interface ReceiptNames {
  readonly nameOf: (id: string) => string;
  /** What a question asks for, by its id. */
  readonly kindOf: (question: string) => string | undefined;
}
const BY_ID: ReceiptNames = { nameOf: (id) => id, kindOf: () => undefined };

/** A receipt on paper: nothing is cut; rows that are too wide are broken, and told. `time` is the local time as text. */
export function receiptLines(
  facts: ReceiptFacts,
  terminal: PaperPlan,
  language: Language,
  time: string,
  { nameOf, kindOf }: ReceiptNames = BY_ID,
): Laid & { readonly broken: readonly Broken[] } {
  const { unit, currency } = facts;
  const said = (kind: string) => Object.entries(facts.answers).find(([q]) => kindOf(q) === kind)?.[1] ?? null;
  const values: FieldValues = {
    site: terminal.siteName ?? null,
    address: terminal.siteAddress ?? null,
    terminal: terminal.name ?? null,
    time,
    fill: facts.fill,
    hose: String(facts.hose),
    product: facts.productName,
    quantity: volume(facts.ul, unit, 3),
    price: facts.price === null ? null : priceText(facts.price, currency, unit),
    amount: facts.amount === null ? null : money(facts.amount, currency),
    driver: facts.driver === undefined ? null : nameOf(facts.driver),
    vehicle: facts.vehicle === undefined ? null : nameOf(facts.vehicle),
    odometer: said('odometer'),
    hours: said('hours'),
    job: said('job'),
  };
  const layout = terminal.layouts?.receipt ?? usualReceipt(terminal);
  const { lines, broken } = onPaper(layout, values, language, terminal.paper);
  return { ...layOut(lines, terminal.paper), broken };
}
