import { at, type Check, DATA } from '../check.ts';

export const advanceOfNoReading: Check = {
  code: 'F314',
  severity: 'note',
  title: 'An advance is set for what is no reading',
  reason: 'Only odometers and engine hours advance.',
  mend: 'Leave it empty, or correct the question’s kind.',
  source: DATA,
  *find(ctx) {
    for (const q of ctx.fleet.questions.values())
      if ((q.kind === 'job' || q.kind === 'text') && (q.leastAdvance !== null || q.mostAdvance !== null))
        yield {
          on: [at('questions', q.id, q.leastAdvance === null ? 'mostAdvance' : 'leastAdvance')],
          text: `${ctx.called('questions', q.id)} is no reading, but has an advance.`,
        };
  },
};
