import type { Fill, FillFilter, FillPage } from '@fillwright/wire';
import type { Tx } from '../store/database.ts';

const COLUMNS = `id, site, hose, hose_number as "hoseNumber", product, driver, driver_name as "driverName", vehicle,
  vehicle_name as "vehicleName", cost_centre as "costCentre", revision, started_at as "startedAt", ended_at as "endedAt", pulses,
  volume, limit_volume as "limit", overrun, price, amount, state, stop_reason as "stopReason", proving`;

export type FillWish = Omit<FillFilter, 'limit' | 'before'>;

/** The part of a statement that keeps what a filter asks for; `$1` is the fleet. */
function whereOf(fleet: string, wish: FillWish): { where: string; values: unknown[] } {
  const values: unknown[] = [fleet];
  const parts = ['fleet = $1'];
  const add = (part: string, value: unknown) => {
    if (value === undefined || value === '') return;
    values.push(value);
    parts.push(part.replace('?', `$${values.length}`));
  };
  add('site = ?', wish.site);
  add('driver = ?', wish.driver);
  add('vehicle = ?', wish.vehicle);
  add('product = ?', wish.product);
  add('cost_centre = ?', wish.costCentre);
  add('started_at >= ?', wish.from);
  add('started_at < ?', wish.to);
  // Each word must be found somewhere: names, product, site, cost centre, plate, answers.
  for (const word of (wish.text ?? '').toLowerCase().split(/\s+/).filter(Boolean))
    add("search like ? escape '!'", `%${word.replace(/[!%_]/g, '!$&')}%`);
  return { where: parts.join(' and '), values };
}

const cursorOf = (fill: Fill): string => `${fill.startedAt}~${fill.id}`;

/** One page, newest first, from behind the cursor. */
async function fillLines(
  tx: Tx,
  fleet: string,
  wish: FillWish,
  limit: number,
  before?: string,
): Promise<{ fills: Fill[]; next: string | null }> {
  const { where, values } = whereOf(fleet, wish);
  let behind = '';
  const cursor = /^(\d{1,15})~(.{1,200})$/.exec(before ?? '');
  if (cursor) {
    values.push(Number(cursor[1]), cursor[2]);
    behind = ` and (started_at, id) < ($${values.length - 1}, $${values.length})`;
  }
  values.push(limit + 1);
  const rows = await tx.rows<Fill>(
    `select ${COLUMNS} from fill where ${where}${behind} order by started_at desc, id desc limit $${values.length}`,
    values,
  );
  const fills = rows.slice(0, limit);
  const last = fills.at(-1);
  return { fills, next: rows.length > limit && last ? cursorOf(last) : null };
}

/** One page with the totals of everything that matches, not of the page. */
export async function fillPage(tx: Tx, fleet: string, filter: FillFilter): Promise<FillPage> {
  const { limit, before, ...wish } = filter;
  const { where, values } = whereOf(fleet, wish);
  const totals = await tx.row<FillPage['totals']>(
    `select count(*)::bigint as fills, coalesce(sum(volume), 0)::bigint as volume, coalesce(sum(amount) filter (where proving is null), 0)::bigint as amount
     from fill where ${where}`,
    values,
  );
  return { ...(await fillLines(tx, fleet, wish, limit, before)), totals: totals ?? { fills: 0, volume: 0, amount: 0 } };
}

/** Everything that matches, a batch at a time. */
export async function* everyFill(tx: Tx, fleet: string, wish: FillWish): AsyncGenerator<Fill> {
  let before: string | undefined;
  do {
    const page = await fillLines(tx, fleet, wish, 2000, before);
    yield* page.fills;
    before = page.next ?? undefined;
  } while (before !== undefined);
}

export interface FillRest {
  readonly decision: unknown;
  readonly answers: Record<string, string>;
  readonly curve: [number, number][];
}

export async function fillById(tx: Tx, fleet: string, id: string): Promise<{ fill: Fill; rest: FillRest } | undefined> {
  const row = await tx.row<Fill & FillRest>(
    `select ${COLUMNS}, decision, answers, curve from fill where fleet = $1 and id = $2`,
    [fleet, id],
  );
  if (!row) return undefined;
  const { decision, answers, curve, ...fill } = row;
  return { fill, rest: { decision, answers, curve } };
}
