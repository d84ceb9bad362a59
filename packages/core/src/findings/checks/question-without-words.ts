import { at, type Check, DATA } from '../check.ts';

export const questionWithoutWords: Check = {
  code: 'F318',
  severity: 'error',
  title: 'A question has no prompt',
  reason: 'The display is empty while an answer is awaited, and nobody knows what to key.',
  mend: 'Enter the prompt as the display is to show it.',
  source: DATA,
  *find(ctx) {
    for (const q of ctx.fleet.questions.values())
      if (q.prompt.trim() === '')
        yield { on: [at('questions', q.id, 'prompt')], text: `${ctx.called('questions', q.id)} has no prompt.` };
  },
};
