import { classOf, fitting } from '../access.ts';
import { at, type Check, DATA } from '../check.ts';

export const vehicleLargerThanAnyFill: Check = {
  code: 'F225',
  severity: 'note',
  title: 'A vehicle’s tank is larger than any fill',
  reason: 'An empty tank takes more than one fill, or an allowance or a hose was set too low for it.',
  mend: 'Nothing, if two fills are meant; else raise the allowance or the hose’s most per fill.',
  source: DATA,
  *find(ctx) {
    const known = new Map<string, number>();
    for (const v of ctx.fleet.vehicles.values()) {
      if (!v.active || v.capacity === null || v.allowances.length === 0) continue;
      const key = classOf(v);
      let most = known.get(key);
      if (most === undefined) {
        most = 0;
        for (const { hose, by } of fitting(ctx, v))
          most = Math.max(most, Math.min(hose.mostPerFill, by.perFill ?? hose.mostPerFill));
        known.set(key, most);
      }
      if (most === 0 || v.capacity <= most) continue;
      yield {
        on: [at('vehicles', v.id, 'capacity')],
        text: `${ctx.called('vehicles', v.id)} holds ${ctx.volume(v.capacity)}; one fill gives it ${ctx.volume(most)} at most.`,
      };
    }
  },
};
