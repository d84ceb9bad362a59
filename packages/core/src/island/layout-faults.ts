import type { Fleet, Layout, LayoutField, LayoutName } from '../fleet/index.ts';
import { priceInForce } from '../fleet/index.ts';
import { facesOf, sampleReceipt, shownIn } from './face.ts';
import { hosesAt, planOf } from './plan.ts';
import type { Language, TerminalPlan, YardPlan } from './types.ts';

/** What is wrong with a terminal's own layouts, by what its site declares; the usual layouts are not looked at. */
export interface LayoutFaults {
  /** A row or a text that the display cuts. */
  readonly cut: readonly { readonly layout: LayoutName; readonly language: Language; readonly text: string }[];
  /** A row that is wider than the paper and is printed on several lines. */
  readonly broken: readonly { readonly language: Language; readonly text: string; readonly lines: number }[];
  /** A field that this layout should show. */
  readonly missing: readonly { readonly layout: LayoutName; readonly field: LayoutField }[];
  /** A language of the terminal in which own words are not written. */
  readonly unwritten: readonly { readonly layout: LayoutName; readonly language: Language }[];
}

const LAYOUTS = ['idle', 'flowing', 'filled', 'receipt'] as const satisfies readonly LayoutName[];

/** What a driver must be able to read, whoever drew the layout: common practice, no source. */
function needed(layout: LayoutName, priced: boolean): readonly LayoutField[] {
  if (layout === 'idle') return [];
  if (layout !== 'receipt') return ['quantity', ...(priced ? (['amount'] as const) : [])];
  return ['time', 'product', 'quantity', ...(priced ? (['price', 'amount'] as const) : [])];
}

const showsField = (layout: Layout, field: LayoutField): boolean =>
  layout.some((row) => row.some((cell) => 'field' in cell && cell.field === field));

/** `day` counts from 1970-01-01 and says which prices hold. Undefined where the terminal has no layout of its own. */
export function layoutFaults(fleet: Fleet, plan: YardPlan, terminal: string, day: number): LayoutFaults | undefined {
  const own = plan.terminals[terminal];
  if (!own || LAYOUTS.every((name) => own.layouts[name] === null)) return undefined;
  const priced = hosesAt(plan, terminal).some((h) => priceInForce(fleet, plan.site, h.product, day) !== null);
  const drawn = LAYOUTS.flatMap((name) => {
    const layout = own.layouts[name];
    return layout === null ? [] : [[name, layout] as const];
  });
  const faces = facesOf(fleet, plan, terminal, day);
  return {
    cut: drawn.flatMap(([layout]) =>
      layout === 'receipt'
        ? []
        : faces
            .filter((f) => f.screen === layout)
            .flatMap((f) => shownIn(f, own))
            .flatMap(({ language, laid }) => laid.overflow.map(({ text }) => ({ layout, language, text }))),
    ),
    broken: own.layouts.receipt === null ? [] : brokenOf(fleet, own, plan.site, day),
    missing: drawn.flatMap(([layout, rows]) =>
      layout === 'receipt' && own.paper === null
        ? []
        : needed(layout, priced)
            .filter((field) => !showsField(rows, field))
            .map((field) => ({ layout, field })),
    ),
    unwritten: drawn.flatMap(([layout, rows]) =>
      own.languages
        .filter((language) => rows.some((r) => r.some((c) => 'words' in c && c.words[language] === undefined)))
        .map((language) => ({ layout, language })),
    ),
  };
}

function brokenOf(fleet: Fleet, terminal: TerminalPlan, site: string, day: number): LayoutFaults['broken'] {
  const time = { at: 0, text: '2026-12-31 23:59', day };
  return terminal.languages.flatMap((language) =>
    (sampleReceipt(fleet, terminal, site, language, time)?.broken ?? []).map(({ text, lines }) => ({
      language,
      text,
      lines,
    })),
  );
}

/** Plans by site, made when first asked for: several terminals of a site share one. */
export function faultsOfLayouts(fleet: Fleet, day: number): (terminal: string) => LayoutFaults | undefined {
  const plans = new Map<string, YardPlan | undefined>();
  return (terminal) => {
    const row = fleet.terminals.get(terminal);
    if (!row || LAYOUTS.every((name) => row[`${name}Layout`] === null)) return undefined;
    if (!plans.has(row.site)) plans.set(row.site, planOf(fleet, row.site, 0));
    const plan = plans.get(row.site);
    return plan && layoutFaults(fleet, plan, terminal, day);
  };
}
