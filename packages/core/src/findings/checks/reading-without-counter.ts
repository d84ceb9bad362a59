import { at, type Check, DATA } from '../check.ts';

export const readingWithoutCounter: Check = {
  code: 'F235',
  severity: 'warning',
  title: 'A vehicle is to be asked for a counter that it does not have',
  reason: 'The question is left out for it, so no reading is ever taken.',
  mend: 'Correct the vehicle’s counter, or give it the other question.',
  source: DATA,
  *find(ctx) {
    for (const v of ctx.fleet.vehicles.values())
      for (const id of new Set(v.questions)) {
        const q = ctx.fleet.questions.get(id);
        if ((q?.kind !== 'odometer' && q?.kind !== 'hours') || q.kind === v.counter) continue;
        yield {
          on: [at('vehicles', v.id, 'questions'), at('questions', id)],
          text: `${ctx.called('vehicles', v.id)} has ${v.counter === 'none' ? 'no counter' : `a counter of ${v.counter}`}, but is asked ${ctx.called('questions', id)}.`,
        };
      }
  },
};
