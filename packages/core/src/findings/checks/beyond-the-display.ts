import { at, type Check, PRACTICE } from '../check.ts';

const odd = (text: string): string => [...new Set(text.replace(/[\x20-\x7e]/g, ''))].join(' ');

export const beyondTheDisplay: Check = {
  code: 'F305',
  severity: 'note',
  title: 'Text with characters that a display may not have',
  reason: 'Many character displays show only the ASCII letters, digits and signs; others come out as blocks or blanks.',
  mend: 'Try it on the real display, or write it without them.',
  source: PRACTICE,
  *find(ctx) {
    const texts = [
      ...[...ctx.fleet.terminals.values()].map((t) => [at('terminals', t.id, 'idle'), t.idle.join('')] as const),
      ...[...ctx.fleet.questions.values()].map((q) => [at('questions', q.id, 'prompt'), q.prompt] as const),
      ...[...ctx.fleet.products.values()].map((p) => [at('products', p.id, 'short'), p.short] as const),
    ];
    for (const [on, text] of texts) {
      const signs = odd(text);
      if (signs !== '') yield { on: [on], text: `${ctx.called(on.table, on.id)} uses ${signs}` };
    }
  },
};
