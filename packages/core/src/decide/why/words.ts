import { type Fleet, fieldsOf } from '../../fleet/index.ts';
import { formatDate, formatMinute, localMoment, type ZoneTable } from '../../units/index.ts';
import { nameOf, volumeText } from '../explain.ts';
import type { Change, Changer } from './types.ts';

const VOLUMES = new Set(['perFill', 'perDay', 'perWeek', 'perMonth', 'mostPerFill', 'capacity']);
const DAYS = ['Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday', 'Sunday'];

/** A change as a help desk would say it, and who may make it. Times are by the clock of the site. */
export function changeWords(fleet: Fleet, change: Change, zone: ZoneTable): { text: string; who: Changer } {
  switch (change.kind) {
    case 'hose': {
      const product = fleet.hoses.get(change.hose)?.product ?? '';
      return {
        who: 'person',
        text: `use ${nameOf(fleet, 'hoses', change.hose)} (${nameOf(fleet, 'products', product)})`,
      };
    }
    case 'time': {
      const { day, minute } = localMoment(zone, change.at);
      return { who: 'person', text: `come at ${formatDate(day)} ${formatMinute(minute)} or soon after` };
    }
    case 'pin':
      return { who: 'person', text: 'key the right PIN (an editor sets one where there is none)' };
    case 'answer':
      return {
        who: 'person',
        text: `answer “${nameOf(fleet, 'questions', change.question)}” with such as ${change.answer}`,
      };
    case 'present': {
      const { alike } = change;
      const others = alike === 1 ? ' or one other' : ` or any of ${alike} others`;
      const more = alike > 0 ? `${others} that would do as well` : '';
      return { who: 'person', text: `present the credential of ${nameOf(fleet, change.table, change.id)}${more}` };
    }
    case 'link':
      return { who: 'technician', text: 'bring back the site’s link to the office' };
    case 'give':
      return {
        who: 'editor',
        text: `give ${nameOf(fleet, change.table, change.id)} the allowance “${nameOf(fleet, 'allowances', change.allowance)}”`,
      };
    case 'field':
      return { who: 'editor', text: fieldWords(fleet, change) };
  }
}

function fieldWords(fleet: Fleet, { table, id, field, to }: Extract<Change, { kind: 'field' }>): string {
  const name = nameOf(fleet, table, id);
  const of = table === 'allowances' ? `“${name}”` : name;
  if (field === 'stopped') return `lift the stop of the ${of}, if it was found`;
  if (field === 'active') return `set ${of} ${table === 'drivers' || table === 'vehicles' ? 'active' : 'in service'}`;
  if (field === 'closed') return `open the site on ${to}`;
  if (field === 'times') {
    const hour = Math.floor((Number(to) % 1440) / 60);
    const span = `${formatMinute(hour * 60)} to ${formatMinute(hour * 60 + 60)}`;
    return `let ${of} hold on ${DAYS[Math.floor(Number(to) / 1440)]} ${span} too`;
  }
  if (field === 'products') return `let ${of} cover ${nameOf(fleet, 'products', String(to))}`;
  if (field === 'sites')
    return `let ${of} ${table === 'allowances' ? 'cover' : 'use'} ${nameOf(fleet, 'sites', String(to))}`;
  if (field === 'terminals') return `let ${nameOf(fleet, 'terminals', String(to))} choose ${of}`;
  if (field === 'cutOff') return `let ${of} go on while the site is cut off`;
  const label =
    fieldsOf(table)
      .find((f) => f.name === field)
      ?.label.toLowerCase() ?? field;
  if (VOLUMES.has(field))
    return to === null
      ? `take the limit ${label} off ${of}`
      : `raise ${label} of ${of} to ${volumeText(fleet, Number(to))}`;
  return `set ${label} of ${of} to ${to}`;
}
