import { LANGUAGE_NAMES } from '../../fleet/index.ts';
import { at, type Check, DATA } from '../check.ts';

export const layoutWordsUnwritten: Check = {
  code: 'F323',
  severity: 'note',
  title: 'Words of a layout are not written in a language of the terminal',
  reason: 'Whoever chooses that language reads them in another.',
  mend: 'Write them in that language, or take the language from the terminal.',
  source: DATA,
  *find(ctx) {
    for (const t of ctx.fleet.terminals.values()) {
      const unwritten = ctx.layoutFaults(t.id)?.unwritten ?? [];
      for (const layout of new Set(unwritten.map((u) => u.layout))) {
        const languages = unwritten.filter((u) => u.layout === layout).map((u) => LANGUAGE_NAMES[u.language]);
        yield {
          on: [at('terminals', t.id, `${layout}Layout`)],
          text: `${ctx.called('terminals', t.id)} has words that are not written in ${languages.join(' and ')}.`,
        };
      }
    }
  },
};
