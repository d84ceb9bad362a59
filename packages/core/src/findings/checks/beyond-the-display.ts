import type { Layout } from '../../fleet/index.ts';
import { at, type Check, PRACTICE } from '../check.ts';

const odd = (text: string): string => [...new Set(text.replace(/[\x20-\x7e]/g, ''))].join(' ');

const LAYOUTS = ['idleLayout', 'flowingLayout', 'filledLayout'] as const;
const wordsOf = (layout: Layout | null): string =>
  (layout ?? []).flatMap((row) => row.flatMap((c) => ('words' in c ? Object.values(c.words) : []))).join('');

export const beyondTheDisplay: Check = {
  code: 'F305',
  severity: 'note',
  title: 'Text with characters that a display may not have',
  reason: 'Many character displays show only the ASCII letters, digits and signs; others come out as blocks or blanks.',
  mend: 'Try it on the real display, or write it without them.',
  source: PRACTICE,
  *find(ctx) {
    const texts = [
      ...[...ctx.fleet.terminals.values()].map(
        (t) => [at('terminals', t.id, 'idle'), (t.idleLayout === null ? t.idle : []).join('')] as const,
      ),
      ...[...ctx.fleet.terminals.values()].flatMap((t) =>
        LAYOUTS.map((name) => [at('terminals', t.id, name), wordsOf(t[name])] as const),
      ),
      ...[...ctx.fleet.questions.values()].map((q) => [at('questions', q.id, 'prompt'), q.prompt] as const),
      ...[...ctx.fleet.products.values()].map((p) => [at('products', p.id, 'short'), p.short] as const),
    ];
    for (const [on, text] of texts) {
      const signs = odd(text);
      if (signs !== '') yield { on: [on], text: `${ctx.called(on.table, on.id)} uses ${signs}` };
    }
  },
};
