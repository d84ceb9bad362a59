import { barred } from '../access.ts';
import { at, type Check, DATA } from '../check.ts';

export const nobodyToComeWith: Check = {
  code: 'F205',
  severity: 'warning',
  title: 'Somebody can come with nobody',
  reason: 'Their sites want driver and vehicle both, or the other one, and nobody of those may draw the same there.',
  mend: 'Give a vehicle (or a driver) that site and an allowance that meets theirs, or change whom the site identifies.',
  source: DATA,
  *find(ctx) {
    for (const { side, holder, why } of barred(ctx)) {
      if (why !== 'partner') continue;
      const table = side === 'driver' ? 'drivers' : 'vehicles';
      yield {
        on: [at(table, holder.id)],
        text: `No ${side === 'driver' ? 'vehicle' : 'driver'} can draw together with ${ctx.called(table, holder.id)} at its sites.`,
      };
    }
  },
};
