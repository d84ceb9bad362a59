import { at, type Check, DATA } from '../check.ts';

export const noAdvanceFits: Check = {
  code: 'F313',
  severity: 'error',
  title: 'No advance of a reading is plausible',
  reason: 'The least advance is above the most, so every reading after the first is implausible.',
  mend: 'Correct one of them.',
  source: DATA,
  *find(ctx) {
    for (const q of ctx.fleet.questions.values())
      if (q.leastAdvance !== null && q.mostAdvance !== null && q.leastAdvance > q.mostAdvance)
        yield {
          on: [at('questions', q.id, 'leastAdvance')],
          text: `${ctx.called('questions', q.id)} wants an advance of at least ${q.leastAdvance} and at most ${q.mostAdvance}.`,
        };
  },
};
