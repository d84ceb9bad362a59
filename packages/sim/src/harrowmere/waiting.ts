import { type Edit, type Fleet, newRow } from '@fillwright/core/fleet';
import { cardNumber } from './roster.ts';

/** One sitting at the desk. */
export interface Waiting {
  readonly note: string;
  readonly edits: Edit[];
}

/** What the demo's owner has changed since the release and not sent yet, so that there is something to compare, to look at and to release. */
export function waitingChanges(fleet: Fleet): Waiting[] {
  const [shift, leaver] = [fleet.allowances.get('day-shift'), fleet.drivers.get('driver-23')];
  if (!shift || !leaver) return [];
  return [
    {
      note: 'The day shift begins at four from Monday on',
      edits: [
        {
          op: 'put',
          table: 'allowances',
          row: { ...shift, times: (shift.times ?? []).map((t) => ({ ...t, from: 4 * 60 })) },
        },
      ],
    },
    {
      note: 'New at Water',
      edits: [
        {
          op: 'put',
          table: 'drivers',
          row: newRow('drivers', {
            id: 'driver-61',
            name: 'Orlen Thistlewick',
            number: '2201',
            department: 'Water',
            costCentre: 'cc-water',
            allowances: ['any-driver'],
            sites: ['highfell', 'oxmere-mill'],
          }),
        },
        {
          op: 'put',
          table: 'credentials',
          row: newRow('credentials', { id: 'card-61', kind: 'card', number: cardNumber(3_100), driver: 'driver-61' }),
        },
      ],
    },
    {
      note: `${leaver.name} has left`,
      edits: [{ op: 'put', table: 'drivers', row: { ...leaver, active: false } }],
    },
  ];
}
