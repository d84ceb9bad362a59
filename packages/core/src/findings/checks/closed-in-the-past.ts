import { parseDate } from '../../units/index.ts';
import { at, type Check, DATA } from '../check.ts';
import { listed } from '../context.ts';

export const closedInThePast: Check = {
  code: 'F127',
  severity: 'note',
  title: 'Closed days lie in the past',
  reason: 'They do nothing any more, and make the list long to read.',
  mend: 'Take them away, and enter the coming ones.',
  source: DATA,
  *find({ fleet, today, called }) {
    if (today === undefined) return;
    for (const site of fleet.sites.values()) {
      const past = site.closed.filter((date) => (parseDate(date) ?? today) < today);
      if (past.length > 0)
        yield {
          on: [at('sites', site.id, 'closed')],
          text: `${called('sites', site.id)} was closed on ${listed(past)}.`,
        };
    }
  },
};
