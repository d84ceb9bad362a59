import { type Problem, problem } from '@fillwright/core/errors';
import { canonical, type Edit, type Fleet, type Settings, settingsSchema } from '@fillwright/core/fleet';
import { textOfCell } from './cells.ts';
import { squash } from './headings.ts';
import type { RawSheet } from './read-intake.ts';

/** Fleet-wide settings as a sheet of one row below its headings. */

export const SETTINGS_COLUMNS = [
  { name: 'name', label: 'Fleet name', expected: 'text of 1 to 200 characters on one line' },
  { name: 'units', label: 'Units', expected: 'us or metric' },
  { name: 'currency', label: 'Currency', expected: 'three capital letters of ISO 4217' },
] as const;

type Name = keyof Settings;

function readSetting(name: Name, text: string): string {
  const bare = text.trim();
  if (name === 'units') return bare.toLowerCase();
  if (name === 'currency') return bare.toUpperCase();
  return textOfCell(bare);
}

/** The settings that the sheet asks for and the edit that leads there; undefined when nothing changes or something is wrong. */
export function settingsFrom(
  sheet: RawSheet | undefined,
  base: Fleet,
  problems: Problem[],
): { settings: Settings; edit: Edit } | undefined {
  const [headings, row, extra] = sheet?.rows ?? [];
  if (!sheet || !headings || !row) return undefined;
  if (extra)
    problems.push(problem('FW-108', { at: { in: sheet.name, row: extra.number }, expected: 'one row of settings' }));
  const fields: Partial<Record<Name, string>> = {};
  let bad = false;
  headings.cells.forEach((heading, index) => {
    if (heading.trim() === '') return;
    const at = { in: sheet.name, row: row.number, field: heading };
    const column = SETTINGS_COLUMNS.find((c) => [c.name, c.label].some((n) => squash(n) === squash(heading)));
    const text = row.cells[index] ?? '';
    if (!column)
      problems.push(
        problem('FW-104', {
          at: { ...at, row: headings.number },
          found: heading.slice(0, 80),
          expected: `one of: ${SETTINGS_COLUMNS.map((c) => c.label).join(', ')}`,
        }),
      );
    else if (text.trim() !== '') {
      const value = readSetting(column.name, text);
      if (settingsSchema.shape[column.name].safeParse(value).success) fields[column.name] = value;
      else {
        bad = true;
        problems.push(problem('FW-107', { at, found: text.slice(0, 80), expected: column.expected }));
      }
    }
  });
  const settings = settingsSchema.safeParse({ ...base.settings, ...fields });
  if (bad || !settings.success || canonical(settings.data) === canonical(base.settings)) return undefined;
  return { settings: settings.data, edit: { op: 'settings', fields } };
}
