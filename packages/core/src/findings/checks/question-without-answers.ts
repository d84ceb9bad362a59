import { at, type Check, DATA } from '../check.ts';

export const questionWithoutAnswers: Check = {
  code: 'F310',
  severity: 'error',
  title: 'A question accepts no answer',
  reason: 'Whoever is asked is refused.',
  mend: 'Enter the accepted answers, or make it a job number.',
  source: DATA,
  *find(ctx) {
    for (const q of ctx.fleet.questions.values())
      if (q.kind === 'text' && q.accepted.length === 0)
        yield {
          on: [at('questions', q.id, 'accepted')],
          text: `${ctx.called('questions', q.id)} has no accepted answers.`,
        };
  },
};
