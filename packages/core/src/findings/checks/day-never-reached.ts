import { at, type Check, DATA } from '../check.ts';

export const dayNeverReached: Check = {
  code: 'F219',
  severity: 'note',
  title: 'A day’s limit that its fills cannot reach',
  reason: 'Fills per day times the most per fill is less than the day’s quantity, so that the quantity never holds.',
  mend: 'Nothing, if the fills are meant to decide; else raise them.',
  source: DATA,
  *find(ctx) {
    for (const a of ctx.fleet.allowances.values())
      if (a.perFill !== null && a.perDay !== null && a.fillsPerDay !== null && a.perFill * a.fillsPerDay < a.perDay)
        yield {
          on: [at('allowances', a.id, 'perDay')],
          text: `${ctx.called('allowances', a.id)} allows ${a.fillsPerDay} fills of ${ctx.volume(a.perFill)}, less than ${ctx.volume(a.perDay)} a day.`,
        };
  },
};
