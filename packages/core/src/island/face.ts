import { type Fleet, LANGUAGE_IDS, priceInForce } from '../fleet/index.ts';
import { amountOf, type Microlitres, type Money } from '../units/index.ts';
import type { Broken } from './arrange.ts';
import { type DisplayPlan, displayOf, receiptLines } from './display.ts';
import type { Laid } from './layout.ts';
import { hosesAt, planOf } from './plan.ts';
import type { Language, ReceiptFacts, ScreenData, ScreenName, TerminalPlan, YardPlan } from './types.ts';
import { REASONS } from './words.ts';

/** A screen as a terminal may show it, filled with what its site declares. */
export interface FaceScreen {
  /** Stable within one terminal. */
  readonly id: string;
  readonly screen: ScreenName;
  readonly data: ScreenData;
}

const REFUSED_FIRST = ['card-known', 'card-stopped', 'site-open', 'allowance-product', 'per-day', 'tankLow'];

/**
 * Every screen that a driver may come to at one terminal, each filled with what the site itself declares: its own idle text, its
 * hoses, each question, the most that a hose gives, its amount at `price`, every reason. Undefined when the plan has no such terminal.
 */
export function screensOf(
  plan: YardPlan,
  terminal: string,
  mostUl: Microlitres,
  price: Money | null = null,
): FaceScreen[] | undefined {
  const own = plan.terminals[terminal];
  if (!own) return undefined;
  const hoses = hosesAt(plan, terminal);
  const number = hoses.at(-1)?.number ?? 0;
  const longest = hoses.reduce((most, h) => (h.productName.length > most.length ? h.productName : most), '');
  const drawn: ScreenData = {
    number,
    product: longest,
    ul: mostUl,
    unit: plan.unit,
    ...(price === null ? {} : { price, amount: amountOf(mostUl, price, plan.unit), currency: plan.currency }),
  };
  const of = (screen: ScreenName, data: ScreenData = {}, more = ''): FaceScreen => ({
    id: `${screen}${more}`,
    screen,
    data,
  });
  // Several reasons have the same words: one of them is enough.
  const words = new Map<string, string>();
  for (const why of [...REFUSED_FIRST, ...Object.keys(REASONS)]) {
    const said = JSON.stringify(REASONS[why]);
    if (!words.has(said)) words.set(said, why);
  }
  return [
    of('idle', { lines: own.idle }),
    of('wait'),
    ...(['driver', 'vehicle', 'either'] as const).map((whose) => of('card', { of: whose, typed: '' }, ` ${whose}`)),
    of('misread'),
    of('pin', { typed: '****' }),
    of('pinWrong'),
    ...Object.values(plan.questions).map((q) =>
      of('question', { prompt: q.prompt, typed: '8'.repeat(Math.max(1, q.digits)) }, ` ${q.id}`),
    ),
    of('choose', { lines: hoses.map((h) => `${h.number} ${h.productName}`), typed: '' }),
    of('busy', { why: 'inUse', number }),
    of('authorised', { number, limitUl: mostUl, unit: plan.unit }),
    of('flowing', { ...drawn, limitUl: mostUl }),
    of('filled', drawn),
    ...[...words.values()].map((why) => of('refused', { why }, ` ${why}`)),
    of('out', { why: 'eStop' }),
    of('receipt'),
    of('noReceipt'),
  ];
}

/** The same with figures as large as they come: the most that a hose of the terminal gives, at the dearest price of `day`. */
export function facesOf(fleet: Fleet, plan: YardPlan, terminal: string, day: number): FaceScreen[] {
  const hoses = hosesAt(plan, terminal);
  const price = Math.max(-1, ...hoses.map((h) => priceInForce(fleet, plan.site, h.product, day) ?? -1));
  const most = Math.max(0, ...hoses.map((h) => fleet.hoses.get(h.id)?.mostPerFill ?? 0));
  return screensOf(plan, terminal, most, price < 0 ? null : price) ?? [];
}

/** One screen in one language, and how it stands on the display. */
export interface Shown {
  readonly language: Language;
  readonly laid: Laid;
}

export const shownIn = (
  face: FaceScreen,
  terminal: DisplayPlan & { readonly languages?: readonly Language[] },
): Shown[] =>
  (terminal.languages ?? LANGUAGE_IDS).map((language) => ({
    language,
    laid: displayOf(face.screen, language, face.data, terminal),
  }));

const longest = new WeakMap<object, string>();

/** Looked for once in each roster: it may be long, and pictures are drawn with every key. */
function longestName(rows: ReadonlyMap<string, { readonly name: string }>): string {
  let found = longest.get(rows);
  if (found === undefined) {
    found = '';
    for (const { name } of rows.values()) if (name.length > found.length) found = name;
    longest.set(rows, found);
  }
  return found;
}

/** A receipt that a fill at a terminal would bring, as large as its first hose allows and with the roster's longest names; null where there is no printer or no hose. */
export function sampleReceipt(
  fleet: Fleet,
  terminal: TerminalPlan,
  site: string,
  language: Language,
  time: { readonly at: number; readonly text: string; readonly day: number },
): (Laid & { readonly broken: readonly Broken[] }) | null {
  const plan = planOf(fleet, site, 0);
  const hose = plan && hosesAt(plan, terminal.id)[0];
  if (!plan || !hose || terminal.paper === null) return null;
  const driver = longestName(fleet.drivers);
  const vehicle = longestName(fleet.vehicles);
  const ul = fleet.hoses.get(hose.id)?.mostPerFill ?? 0;
  const price = priceInForce(fleet, site, hose.product, time.day);
  const facts: ReceiptFacts = {
    fill: `${site}-000000-1`,
    at: time.at,
    hose: hose.number,
    productName: hose.productName,
    ul,
    unit: plan.unit,
    price,
    amount: price === null ? null : amountOf(ul, price, plan.unit),
    currency: plan.currency,
    ...(driver === '' ? {} : { driver }),
    ...(vehicle === '' ? {} : { vehicle }),
    answers: Object.fromEntries(
      [...fleet.questions.values()].map((q) => [q.id, '8'.repeat(Math.max(1, q.digits))] as const),
    ),
    reason: 'hung',
  };
  return receiptLines(facts, { ...terminal, paper: terminal.paper }, language, time.text, {
    nameOf: (id) => id,
    kindOf: (id) => fleet.questions.get(id)?.kind,
  });
}

/** The characters of an overflow that are cut: what stands beyond the last column, or the whole line below the last row. */
export function cutOf(over: Laid['overflow'][number]): { readonly fits: string; readonly cut: string } {
  const all = [...over.text.normalize('NFC')];
  return { fits: all.slice(0, all.length - over.over).join(''), cut: all.slice(all.length - over.over).join('') };
}
