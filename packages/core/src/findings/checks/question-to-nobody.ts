import { at, type Check, DATA } from '../check.ts';

export const questionToNobody: Check = {
  code: 'F309',
  severity: 'note',
  title: 'Nobody is asked a question',
  reason: 'It does nothing; most often a site was to ask it.',
  mend: 'Add it to a site, a driver or a vehicle, or take it away.',
  source: DATA,
  *find(ctx) {
    for (const q of ctx.fleet.questions.values())
      if (
        (['sites', 'drivers', 'vehicles'] as const).every((table) => ctx.citing(table, 'questions', q.id).length === 0)
      )
        yield { on: [at('questions', q.id)], text: `Nobody is asked ${ctx.called('questions', q.id)}.` };
  },
};
