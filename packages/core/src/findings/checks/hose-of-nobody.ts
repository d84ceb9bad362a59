import { at, type Check, DATA } from '../check.ts';
import { possibleIn } from '../possible.ts';

export const hoseOfNobody: Check = {
  code: 'F134',
  severity: 'note',
  title: 'A hose from which nobody can draw',
  reason:
    'Others can draw at this site, but nobody has an allowance, a time and company with which this hose would ever start.',
  mend: 'Give somebody an allowance for its product there, or take the hose out of service.',
  source: DATA,
  *find(ctx) {
    const { table, can } = possibleIn(ctx);
    const used = new Set([...can.drawn].map((h) => h.siteId));
    for (const hose of table.hoses) {
      if (can.drawn.has(hose) || !used.has(hose.siteId)) continue;
      for (const { row } of hose.members)
        yield { on: [at('hoses', row.id)], text: `Nobody can ever draw from ${ctx.called('hoses', row.id)}.` };
    }
  },
};
