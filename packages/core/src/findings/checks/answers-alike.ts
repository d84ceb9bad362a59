import { at, type Check, DATA } from '../check.ts';
import { alike, listed } from '../context.ts';

export const answersAlike: Check = {
  code: 'F312',
  severity: 'note',
  title: 'Two accepted answers are the same',
  reason: 'Answers are compared without regard to case and to blanks at the ends.',
  mend: 'Keep one of them.',
  source: DATA,
  *find(ctx) {
    for (const q of ctx.fleet.questions.values()) {
      const twice = alike(q.accepted, (a) => a.trim().toLowerCase());
      if (twice.length > 0)
        yield {
          on: [at('questions', q.id, 'accepted')],
          text: `${ctx.called('questions', q.id)} accepts ${listed(twice.map((g) => g.join(' and ')))} as one.`,
        };
    }
  },
};
