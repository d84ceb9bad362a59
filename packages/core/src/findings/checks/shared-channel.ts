import { at, type Check, DATA } from '../check.ts';
import { alike, listed } from '../context.ts';

export const sharedChannel: Check = {
  code: 'F102',
  severity: 'error',
  title: 'Two hoses claim one channel of the box',
  reason: 'Pulses and switches of one hose would be counted and driven for another.',
  mend: 'Give each hose of the site its own channel, as it is wired.',
  source: DATA,
  *find(ctx) {
    for (const group of alike(ctx.fleet.hoses.values(), (h) => `${h.site} ${h.channel}`))
      yield {
        on: group.map((h) => at('hoses', h.id, 'channel')),
        text: `Channel ${group[0]?.channel} is claimed by ${listed(group.map((h) => ctx.called('hoses', h.id)))}.`,
      };
  },
};
