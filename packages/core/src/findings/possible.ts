import { compile } from '../decide/index.ts';
import { type Possible, possible, reachTable, type Table } from '../reach/index.ts';
import type { ZoneTable } from '../units/index.ts';
import type { FindingContext } from './context.ts';

/** Rules speak of the wall's clock, so what can happen in a week is the same in every zone. */
const ANY_ZONE: ZoneTable = { zone: 'UTC', at: [Number.NEGATIVE_INFINITY], offsetMin: [0] };
const EVER = 1_000_000;

const known = new WeakMap<FindingContext, { readonly table: Table; readonly can: Possible }>();

/** What can happen at all in the fleet from today on (or ever, where no date is known); worked out once a context. */
export function possibleIn(ctx: FindingContext): { readonly table: Table; readonly can: Possible } {
  let found = known.get(ctx);
  if (!found) {
    const from = ctx.today ?? -EVER;
    const table = reachTable(
      compile(ctx.fleet, () => ANY_ZONE),
      [from, from + 2 * EVER],
    );
    found = { table, can: possible(table) };
    known.set(ctx, found);
  }
  return found;
}
