import { LANGUAGE_NAMES } from '../../fleet/index.ts';
import { at, type Check, DATA } from '../check.ts';
import { listed } from '../context.ts';

export const layoutCut: Check = {
  code: 'F320',
  severity: 'warning',
  title: 'A layout shows more than the display has room for',
  reason: 'What does not fit is cut: a driver does not read it.',
  mend: 'Shorten the words, or give the row fewer cells.',
  source: DATA,
  *find(ctx) {
    for (const t of ctx.fleet.terminals.values()) {
      const cut = ctx.layoutFaults(t.id)?.cut ?? [];
      for (const layout of new Set(cut.map((c) => c.layout))) {
        const here = cut.filter((c) => c.layout === layout);
        yield {
          on: [at('terminals', t.id, `${layout}Layout`)],
          text: `${ctx.called('terminals', t.id)} cuts: ${listed(here.map((c) => `“${c.text}” (${LANGUAGE_NAMES[c.language]})`))}.`,
        };
      }
    }
  },
};
