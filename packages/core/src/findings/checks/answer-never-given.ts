import { at, type Check, DATA } from '../check.ts';
import { listed } from '../context.ts';

export const answerNeverGiven: Check = {
  code: 'F311',
  severity: 'warning',
  title: 'An accepted answer can never be given',
  reason: 'A job number is letters and digits, and no longer than the question’s most digits.',
  mend: 'Correct the answer, or raise the most digits.',
  source: DATA,
  *find(ctx) {
    for (const q of ctx.fleet.questions.values()) {
      if (q.kind !== 'job') continue;
      const never = q.accepted.filter((a) => !/^[\p{L}\p{N}]+$/u.test(a.trim()) || [...a.trim()].length > q.digits);
      if (never.length > 0)
        yield {
          on: [at('questions', q.id, 'accepted')],
          text: `${ctx.called('questions', q.id)} can never be answered with ${listed(never)}.`,
        };
    }
  },
};
