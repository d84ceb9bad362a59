import type { Fleet } from '@fillwright/core/fleet';
import { formatMinute } from '@fillwright/core/units';
import { volumeText } from '../../show/amounts.ts';

const VOLUMES = new Map([
  ['volume', 'Volume'],
  ['capacity', 'The vehicle’s tank'],
  ['limit', 'Limit of one fill'],
  ['def', 'Exhaust fluid'],
  ['diesel', 'Diesel'],
]);
const NAMES = new Map([
  ['before', 'Reading before'],
  ['now', 'Reading now'],
  ['hours', 'Hours between'],
  ['most', 'Could have gone on by'],
  ['advance', 'Went on by'],
  ['minutes', 'Minutes between'],
  ['fills', 'Fills'],
  ['earlier', 'Earlier fills'],
  ['kind', 'Kind of product'],
  ['usual', 'Usual kind'],
  ['percent', 'Percent'],
  ['days', 'Days looked at'],
]);

/** What a flag rests on, named and in the fleet's units. Rates are set beside each other as parts of the usual one. */
export function evidenceOf(
  evidence: Readonly<Record<string, string | number>>,
  fleet: Pick<Fleet, 'settings'>,
): [string, string][] {
  const { usual, now, spread } = evidence;
  const rates = typeof usual === 'number' && typeof now === 'number' && typeof spread === 'number';
  const lines: [string, string][] = rates
    ? [
        ['Beside the usual', `${Math.round((now / usual) * 100)} %`],
        ['Usual spread', `${Math.round((spread / usual) * 100)} %`],
      ]
    : [];
  for (const [key, value] of Object.entries(evidence)) {
    if (rates && (key === 'usual' || key === 'now' || key === 'spread')) continue;
    const volume = VOLUMES.get(key);
    if (volume !== undefined && typeof value === 'number') lines.push([volume, volumeText(fleet, value)]);
    else if (key === 'minuteOfDay') lines.push(['Time of day at the site', formatMinute(Number(value))]);
    else if (key === 'nearest') lines.push(['Nearest earlier fill, minutes of the day apart', `${value}`]);
    else lines.push([NAMES.get(key) ?? key, String(value)]);
  }
  return lines;
}
