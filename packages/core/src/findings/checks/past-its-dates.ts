import { formatDate } from '../../units/index.ts';
import { at, type Check, DATA } from '../check.ts';

export const pastItsDates: Check = {
  code: 'F229',
  severity: 'note',
  title: 'Somebody or something in force is past its last day',
  reason: 'It is refused already; left standing it hides who may really draw.',
  mend: 'Make it inactive or stopped, or extend its dates.',
  source: DATA,
  *find({ fleet, today, called }) {
    if (today === undefined) return;
    const date = formatDate(today);
    for (const table of ['drivers', 'vehicles', 'credentials'] as const)
      for (const row of fleet[table].values()) {
        const inForce = 'active' in row ? row.active : !row.stopped;
        if (inForce && row.validUntil !== null && row.validUntil < date)
          yield {
            on: [at(table, row.id, 'validUntil')],
            text: `${called(table, row.id)} was valid until ${row.validUntil}.`,
          };
      }
  },
};
