import type { Fleet } from '../fleet/index.ts';
import { amountOf, type Microlitres } from '../units/index.ts';
import { displayOf, receiptLines } from './display.ts';
import type { Laid } from './layout.ts';
import { hosesAt, planOf, priceInForce } from './plan.ts';
import type { Language, ReceiptFacts, ScreenData, ScreenName, TerminalPlan, YardPlan } from './types.ts';
import { LANGUAGES, REASONS } from './words.ts';

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
 * hoses, each question, the most that a hose gives, every reason. Undefined when the plan has no such terminal.
 */
export function screensOf(plan: YardPlan, terminal: string, mostUl: Microlitres): FaceScreen[] | undefined {
  const own = plan.terminals[terminal];
  if (!own) return undefined;
  const hoses = hosesAt(plan, terminal);
  const number = hoses.at(-1)?.number ?? 0;
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
    ...[...words.values()].map((why) => of('refused', { why }, ` ${why}`)),
    of('out', { why: 'eStop' }),
    of('receipt'),
    of('noReceipt'),
  ];
}

/** One screen in one language, and how it stands on the display. */
export interface Shown {
  readonly language: Language;
  readonly laid: Laid;
}

export const shownIn = (face: FaceScreen, size: Pick<TerminalPlan, 'columns' | 'rows'>): Shown[] =>
  (Object.keys(LANGUAGES) as Language[]).map((language) => ({
    language,
    laid: displayOf(face.screen, language, face.data, size),
  }));

/** A receipt that a fill at a terminal would bring, as large as its first hose allows; null where there is no printer or no hose. */
export function sampleReceipt(
  fleet: Fleet,
  terminal: TerminalPlan,
  site: string,
  language: Language,
  time: { readonly at: number; readonly text: string; readonly day: number },
): Laid | null {
  const plan = planOf(fleet, site, 0);
  const hose = plan && hosesAt(plan, terminal.id)[0];
  if (!plan || !hose || terminal.paper === null) return null;
  const driver = [...fleet.drivers.values()][0];
  const vehicle = [...fleet.vehicles.values()][0];
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
    ...(driver ? { driver: driver.name } : {}),
    ...(vehicle ? { vehicle: vehicle.name } : {}),
    answers: {},
    reason: 'hung',
  };
  const { receiptHead, receiptFoot, paper } = terminal;
  return receiptLines(facts, { receiptHead, receiptFoot, paper }, language, time.text);
}

/** The characters of an overflow that are cut: what stands beyond the last column, or the whole line below the last row. */
export function cutOf(over: Laid['overflow'][number]): { readonly fits: string; readonly cut: string } {
  const all = [...over.text.normalize('NFC')];
  return { fits: all.slice(0, all.length - over.over).join(''), cut: all.slice(all.length - over.over).join('') };
}
