import { fieldsOf, TABLES } from '@fillwright/core/fleet';
import { z } from 'zod';

/** Which column of a roster goes where, as the hub guesses it and a person corrects it. */

const ROSTER_TABLES = ['drivers', 'vehicles', 'credentials'] as const;

const mappingShape = z.object({
  columns: z.array(
    z.object({
      heading: z.string(),
      to: z.array(z.object({ table: z.enum(ROSTER_TABLES), field: z.string(), part: z.int().optional() })),
      confidence: z.number(),
      why: z.string(),
    }),
  ),
  cardOf: z.enum(['driver', 'vehicle', 'both']),
});
export type Mapping = z.infer<typeof mappingShape>;
export type Target = Mapping['columns'][number]['to'][number];

/** The mapping of a staged file; undefined where it has none, as a workbook of our own. */
export function readMapping(value: unknown): Mapping | undefined {
  const read = mappingShape.safeParse(value);
  return read.success ? read.data : undefined;
}

/** 'drivers.name' and what it is called; the order is that of the tables. */
export const TARGETS: readonly { readonly group: string; readonly targets: readonly (readonly [string, string])[] }[] =
  ROSTER_TABLES.map((table) => ({
    group: TABLES[table].one,
    targets: fieldsOf(table)
      .filter((f) => f.name !== 'id')
      .map((f) => [`${table}.${f.name}`, `${TABLES[table].one}: ${f.label}`] as const),
  }));

export const targetKey = (target: Target): string => `${target.table}.${target.field}`;

/** The mapping with one target of a column set to `key`, or taken out where `key` is empty. */
export function withTarget(mapping: Mapping, column: number, place: number, key: string): Mapping {
  const columns = mapping.columns.map((c, i) => {
    if (i !== column) return c;
    const [table, field] = key.split('.');
    const chosen = ROSTER_TABLES.find((t) => t === table);
    const to = c.to.filter((_, p) => p !== place);
    if (chosen && field) to.splice(place, 0, { table: chosen, field });
    const once = to.filter((t, p) => to.findIndex((o) => targetKey(o) === targetKey(t)) === p);
    return { ...c, to: once, confidence: 1, why: 'You chose it.' };
  });
  return withParts({ ...mapping, columns });
}

/** Several columns for one field make one text together, in the order of the columns: each gets its place. */
function withParts(mapping: Mapping): Mapping {
  const count = new Map<string, number>();
  for (const c of mapping.columns) for (const t of c.to) count.set(targetKey(t), (count.get(targetKey(t)) ?? 0) + 1);
  const next = new Map<string, number>();
  const columns = mapping.columns.map((c) => ({
    ...c,
    to: c.to.map(({ table, field }): Target => {
      const key = `${table}.${field}`;
      if ((count.get(key) ?? 0) < 2) return { table, field };
      const part = (next.get(key) ?? 0) + 1;
      next.set(key, part);
      return { table, field, part };
    }),
  }));
  return { ...mapping, columns };
}
