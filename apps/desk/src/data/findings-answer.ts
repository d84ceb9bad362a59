import { type Finding, findings } from '@fillwright/core/findings';
import { type AnyRow, emptyFleet, type Fleet } from '@fillwright/core/fleet';
import { parseDate } from '@fillwright/core/units';
import { type ToWorker, takePart } from './findings-message.ts';

const tables: Record<string, Map<string, AnyRow>> = {};

/** Takes in one message; the findings where it asks for them. */
export function take({ settings, part, ask }: ToWorker): Finding[] | undefined {
  if (part) takePart(tables, part);
  if (!ask) return undefined;
  const copies = Object.fromEntries(Object.entries(tables).map(([name, rows]) => [name, new Map(rows)]));
  const fleet = { ...emptyFleet(settings), ...copies } as unknown as Fleet;
  const today = parseDate(ask.today);
  return findings(fleet, today === undefined ? {} : { today });
}
