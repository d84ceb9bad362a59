import type { Fleet } from '@fillwright/core/fleet';
import { type Entry, entrySchema } from '@fillwright/core/island';
import type { UsageTotal } from '@fillwright/wire';
import type { Released } from '../release/released.ts';
import type { Tx } from '../store/database.ts';
import { type FillEntries, type FillLine, lineOf, shares } from './fill-of.ts';

interface Done {
  readonly usage: readonly UsageTotal[];
  readonly tanks: readonly string[];
}
const NOTHING: Done = { usage: [], tanks: [] };

/** Works a fill's line out from all of its entries that are here; when it has ended, its tanks and allowances are charged, once. */
export async function storeFill(tx: Tx, released: Released, fleet: string, site: string, id: string): Promise<Done> {
  const entries = await entriesOf(tx, fleet, id);
  if (!entries) return NOTHING;
  const before = await tx.row<{ state: string }>('select state from fill where fleet = $1 and id = $2 for update', [
    fleet,
    id,
  ]);
  const { authorised, ended } = entries;
  const ran = await released.fleet(tx, fleet, authorised.revision);
  const newest = ran ? undefined : await released.newest(tx, fleet);
  const names = ran ?? (newest === undefined ? undefined : await released.fleet(tx, fleet, newest));
  const line = lineOf(site, entries, names);
  await writeLine(tx, fleet, site, id, entries, line);
  if (!ended || (before && before.state !== 'open')) return NOTHING;
  return {
    tanks: await moveTanks(tx, fleet, site, id, entries, names),
    usage: await chargeUsage(tx, fleet, site, entries, line),
  };
}

async function entriesOf(tx: Tx, fleet: string, fill: string): Promise<FillEntries | undefined> {
  const rows = await tx.rows<{ text: string }>(
    'select text from entry where fleet = $1 and fill = $2 and aside is null order by seq',
    [fleet, fill],
  );
  const facts = rows.map((r) => entrySchema.parse(JSON.parse(r.text)) as Entry);
  const authorised = facts.find((f) => f.kind === 'authorised');
  if (!authorised) return undefined;
  return {
    authorised,
    checkpoints: facts.filter((f) => f.kind === 'checkpoint'),
    ended: facts.find((f) => f.kind === 'ended'),
  };
}

async function writeLine(
  tx: Tx,
  fleet: string,
  site: string,
  id: string,
  { authorised: a }: FillEntries,
  line: FillLine,
): Promise<void> {
  const decision = {
    approved: true,
    limit: a.limitUl,
    by: a.by,
    steps: a.steps,
    notes: a.notes,
    charged: a.charged,
    cutOff: a.cutOff,
    credentials: a.credentials,
  };
  const columns: Record<string, unknown> = {
    fleet,
    id,
    site,
    terminal: a.terminal,
    hose: a.hose,
    hose_number: line.hose_number,
    product: a.product,
    driver: a.driver ?? null,
    driver_name: line.driver_name,
    vehicle: a.vehicle ?? null,
    vehicle_name: line.vehicle_name,
    cost_centre: line.cost_centre,
    revision: a.revision,
    started_at: a.at,
    ended_at: line.ended_at,
    pulses: line.pulses,
    volume: line.volume,
    limit_volume: a.limitUl,
    overrun: line.overrun,
    price: line.price,
    amount: line.amount,
    unit: a.unit,
    state: line.state,
    stop_reason: line.stop_reason,
    armed_at: line.armed_at,
    curve: JSON.stringify(line.curve),
    answers: JSON.stringify(a.answers),
    decision: JSON.stringify(decision),
    search: line.search,
  };
  const names = Object.keys(columns);
  await tx.rows(
    `insert into fill (${names.join(', ')}) values (${names.map((_, i) => `$${i + 1}`).join(', ')})
     on conflict (fleet, id) do update set ${names
       .slice(2)
       .map((n) => `${n} = excluded.${n}`)
       .join(', ')}`,
    Object.values(columns),
  );
}

/** What left which tank. Where tanks are manifolded nobody measures which gave how much: the split by capacity is said in the note. */
async function moveTanks(
  tx: Tx,
  fleet: string,
  site: string,
  id: string,
  { authorised, ended }: FillEntries,
  names: Fleet | undefined,
): Promise<string[]> {
  if (!ended || ended.ul === 0) return [];
  const parts = shares(ended.ul, authorised.tanks, (t) => names?.tanks.get(t)?.capacity ?? 0);
  const note = parts.size > 1 ? `one of ${parts.size} manifolded tanks: its part by capacity` : '';
  for (const [tank, volume] of parts) {
    await tx.rows(
      `insert into tank_move (fleet, id, tank, at, kind, volume, by, note, fill)
       values ($1, $2, $3, $4, 'fill', $5, $6, $7, $8) on conflict do nothing`,
      [fleet, `${id}.${tank}`, tank, ended.at, -volume, site, note, id],
    );
  }
  return [...parts.keys()];
}

async function chargeUsage(
  tx: Tx,
  fleet: string,
  site: string,
  { authorised, ended }: FillEntries,
  line: FillLine,
): Promise<UsageTotal[]> {
  const totals: UsageTotal[] = [];
  if (!ended || ended.ul === 0) return totals;
  for (const { holder, allowance } of authorised.charged) {
    const row = await tx.row<{ volume: number; fills: number }>(
      `insert into usage (fleet, site, holder, allowance, date, volume, fills) values ($1, $2, $3, $4, $5, $6, 1)
       on conflict (fleet, site, holder, allowance, date)
       do update set volume = usage.volume + excluded.volume, fills = usage.fills + 1 returning volume, fills`,
      [fleet, site, holder, allowance, line.date, ended.ul],
    );
    if (row) totals.push({ site, holder, allowance, date: line.date, ...row });
  }
  return totals;
}
