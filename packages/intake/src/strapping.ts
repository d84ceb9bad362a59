import { type Problem, problem } from '@fillwright/core/errors';
import { type Fleet, fieldOf, parseValue, type Strapping } from '@fillwright/core/fleet';
import { unitOfHeading } from './headings.ts';
import type { RawRow, RawSheet } from './read-intake.ts';

/**
 * Strapping tables as people have them: a sheet of its own with a row for each dip, and a column each for the tank, the dip and the volume,
 * whose headings state the units: Tank | Dip (in) | Volume (gal). Many tanks may stand in one sheet.
 */
export function strappingsFrom(
  sheet: RawSheet | undefined,
  known: Fleet,
  problems: Problem[],
): ReadonlyMap<string, Strapping> {
  const tables = new Map<string, Strapping>();
  const head = sheet?.rows[0];
  if (!sheet || !head) return tables;
  const columns = columnsOf(sheet, head, problems);
  const [chart, tanks] = [fieldOf('tanks', 'chart'), fieldOf('pumps', 'tanks')];
  if (!columns || !chart || !tanks) return tables;
  const bad = new Set<string>();
  for (const row of sheet.rows.slice(1)) {
    const cell = (index: number) => (row.cells[index] ?? '').trim();
    const [name, dip, volume] = [cell(columns.tank), cell(columns.dip), cell(columns.volume)];
    if (name === '' && dip === '' && volume === '') continue;
    const wrong = (field: string, found: string, expected: string) =>
      problems.push(
        problem('FW-107', { at: { in: sheet.name, row: row.number, field }, found: found.slice(0, 80), expected }),
      );
    const named = parseValue(tanks, name, known);
    const id = named.ok && Array.isArray(named.value) && named.value.length === 1 ? String(named.value[0]) : '';
    if (!known.tanks.has(id)) {
      problems.push(
        problem('FW-202', { at: { in: sheet.name, row: row.number, field: 'Tank' }, found: name.slice(0, 80) }),
      );
      continue;
    }
    const { dipUnit, volumeUnit } = columns;
    // The row as a table of its own, twice, because a table has at least two.
    const read = parseValue(chart, `${dipUnit} ${volumeUnit}: ${dip} ${volume}; ${dip} ${volume}`, known);
    const first = read.ok ? (read.value as Strapping).rows[0] : undefined;
    if (!first) {
      wrong('Dip', `${dip} ${volume}`, `a dip in ${dipUnit} and a volume in ${volumeUnit}, plain numbers`);
      bad.add(id);
      continue;
    }
    const table = tables.get(id) ?? { dip: dipUnit, volume: volumeUnit, rows: [] };
    tables.set(id, { ...table, rows: [...table.rows, first] } as Strapping);
  }
  // A table with a hole would be read across it: it is taken whole or not at all.
  for (const id of bad) tables.delete(id);
  for (const [id, table] of tables)
    if (!chart.schema.safeParse(table).success) {
      problems.push(
        problem('FW-107', { at: { in: sheet.name, field: 'Dip' }, found: id, expected: '2 to 2,000 rows a tank' }),
      );
      tables.delete(id);
    }
  return tables;
}

interface Columns {
  readonly tank: number;
  readonly dip: number;
  readonly volume: number;
  readonly dipUnit: Strapping['dip'];
  readonly volumeUnit: Strapping['volume'];
}

function columnsOf(sheet: RawSheet, head: RawRow, problems: Problem[]): Columns | undefined {
  const found = (name: string, units: readonly string[]) => {
    for (const [index, cell] of head.cells.entries()) {
      const { bare, unit } = unitOfHeading(cell);
      if (bare.trim().toLowerCase() !== name) continue;
      if (units.length === 0 || units.includes((unit ?? '').toLowerCase())) return { index, unit: unit?.toLowerCase() };
    }
    const expected = units.length === 0 ? 'Tank' : units.map((u) => `${name} (${u})`).join(' or ');
    problems.push(problem('FW-105', { at: { in: sheet.name, field: name }, expected }));
    return undefined;
  };
  const [tank, dip, volume] = [found('tank', []), found('dip', ['mm', 'cm', 'in']), found('volume', ['l', 'gal'])];
  if (!tank || !dip || !volume) return undefined;
  return {
    tank: tank.index,
    dip: dip.index,
    volume: volume.index,
    dipUnit: dip.unit as Strapping['dip'],
    volumeUnit: volume.unit as Strapping['volume'],
  };
}
