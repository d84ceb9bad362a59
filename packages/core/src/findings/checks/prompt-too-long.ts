import { displaySize } from '../../island/index.ts';
import { at, type Check, DATA } from '../check.ts';

export const promptTooLong: Check = {
  code: 'F306',
  severity: 'warning',
  title: 'A question is longer than a display where it is asked',
  reason: 'Its end is not shown, and people guess what is meant.',
  mend: 'Shorten the prompt.',
  source: DATA,
  *find(ctx) {
    const narrowest = new Map<string, { columns: number; id: string }>();
    let anywhere: { columns: number; id: string } | undefined;
    for (const { id, site, ...terminal } of ctx.fleet.terminals.values()) {
      const t = { id, site, columns: displaySize({ id, site, ...terminal }).columns };
      if (t.columns < (narrowest.get(t.site)?.columns ?? Number.POSITIVE_INFINITY)) narrowest.set(t.site, t);
      if (t.columns < (anywhere?.columns ?? Number.POSITIVE_INFINITY)) anywhere = t;
    }
    for (const q of ctx.fleet.questions.values()) {
      const length = [...q.prompt].length;
      const ofHolders =
        ctx.citing('drivers', 'questions', q.id).length + ctx.citing('vehicles', 'questions', q.id).length > 0;
      const shown = ofHolders ? [anywhere] : ctx.citing('sites', 'questions', q.id).map((s) => narrowest.get(s.id));
      const tooNarrow = shown.find((t) => t !== undefined && t.columns < length);
      if (tooNarrow)
        yield {
          on: [at('questions', q.id, 'prompt'), at('terminals', tooNarrow.id, 'columns')],
          text: `“${q.prompt}” has ${length} characters, the display of ${ctx.called('terminals', tooNarrow.id)} ${tooNarrow.columns} columns.`,
        };
    }
  },
};
