import { at, type Check, DATA } from '../check.ts';

export const shareOfNothing: Check = {
  code: 'F221',
  severity: 'warning',
  title: 'A share of nothing while cut off',
  reason: 'A share of 0 % refuses everybody as soon as the site’s link is lost, under a name that says otherwise.',
  mend: 'Enter a share above zero, or choose to decline.',
  source: DATA,
  *find(ctx) {
    for (const a of ctx.fleet.allowances.values())
      if (a.cutOff === 'share' && a.share === 0)
        yield {
          on: [at('allowances', a.id, 'share')],
          text: `${ctx.called('allowances', a.id)} goes on with 0 % while cut off.`,
        };
  },
};
