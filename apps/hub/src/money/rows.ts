import {
  type BilledFill,
  type ChargedLine,
  type Correction,
  makeStatement,
  type NoSale,
  type Statement,
  type Tax,
} from '@fillwright/core/accounts';
import { type Fleet, unitOf } from '@fillwright/core/fleet';
import { formatDate, localMoment } from '@fillwright/core/units';
import { zoneOrUtc } from '../ledger/zones.ts';
import type { Tx } from '../store/database.ts';

const DAY_MS = 86_400_000;

/** A closed period without its text. */
export interface Period {
  readonly number: number;
  readonly from: number;
  readonly to: number;
  readonly closedAt: number;
  readonly closedBy: string;
  readonly word: string;
  readonly digest: string;
}

const PERIOD = `number, from_day as "from", to_day as "to", closed_at as "closedAt", closed_by as "closedBy", word, digest`;

/** Closed periods, oldest first. */
export const periodsOf = (tx: Tx, fleet: string): Promise<Period[]> =>
  tx.rows<Period>(`select ${PERIOD} from account_period where fleet = $1 order by number`, [fleet]);

/** A closed period's statement, as it was kept. */
export async function frozen(tx: Tx, fleet: string, number: number): Promise<Statement | undefined> {
  const row = await tx.row<{ text: string }>('select text from account_period where fleet = $1 and number = $2', [
    fleet,
    number,
  ]);
  return row && (JSON.parse(row.text) as Statement);
}

export const taxesOf = async (tx: Tx, fleet: string): Promise<Tax[]> =>
  (await tx.rows<{ row: Tax }>('select row from account_tax where fleet = $1 order by id', [fleet])).map((r) => r.row);

type CorrectionRow = Omit<Correction, 'date' | 'costCentre'> & {
  readonly day: number;
  readonly centre: string;
  readonly charged: ChargedLine | null;
};

/** Up to a day, corrections that no period has taken yet: amounts, and charged lines that are taken back. */
export async function openCorrections(
  tx: Tx,
  fleet: string,
  content: Fleet,
  to: number,
): Promise<{ corrections: Correction[]; noSales: NoSale[] }> {
  const rows = await tx.rows<CorrectionRow>(
    `select id, day, cost_centre as centre, amount, reason, by, charged from account_correction
     where fleet = $1 and period is null and day <= $2 order by day, id`,
    [fleet, to],
  );
  const corrections: Correction[] = [];
  const noSales: NoSale[] = [];
  for (const { id, day, centre, amount, reason, by, charged } of rows) {
    const entry = { id, date: formatDate(day), reason, by };
    if (charged) noSales.push({ ...charged, ...entry });
    else corrections.push({ ...entry, costCentre: content.costCentres.get(centre)?.name ?? centre, amount });
  }
  return { corrections, noSales };
}

type FillRow = Omit<BilledFill, 'day'> & { startedAt: number; unit: string };

/** Fills of a span by the calendar of each site's wall, less those of nothing; `untaken` leaves out what a closed period has. */
export async function fillsIn(
  tx: Tx,
  fleet: string,
  content: Fleet,
  span: { from: number; to: number; untaken: boolean },
): Promise<{ fills: BilledFill[]; open: number }> {
  const unit = unitOf(content.settings);
  // No wall is further than 14 hours from UTC.
  const rows = await tx.rows<FillRow & { state: string }>(
    `select id, site, product, driver, driver_name as "driverName", vehicle, vehicle_name as "vehicleName",
       cost_centre as "costCentre", started_at as "startedAt", volume, price, unit, state
     from fill f where fleet = $1 and started_at >= $2 and started_at < $3 and (volume > 0 or state = 'open') and proving is null
       and not ($4 and exists (select 1 from account_taken t where t.fleet = f.fleet and t.fill = f.id))`,
    [fleet, (span.from - 1) * DAY_MS, (span.to + 2) * DAY_MS, span.untaken],
  );
  const fills: BilledFill[] = [];
  let open = 0;
  for (const { startedAt, unit: counted, state, ...row } of rows) {
    const { day } = localMoment(zoneOrUtc(content.sites.get(row.site)?.zone), startedAt);
    if (day < span.from || day > span.to) continue;
    if (state === 'open') open++;
    // A price per litre says nothing about gallons: where the fleet has since changed how it counts, the price now in force stands in.
    else fills.push({ ...row, day, price: counted === unit ? row.price : null });
  }
  return { fills, open };
}

/** A fill that comes so many days late still falls to the next period by itself; an older one is counted, for a person to correct. */
export const LATE_DAYS = 400;

/** Fills of closed days that came later than that: in no period, and in none to come. */
const tooLate = async (tx: Tx, fleet: string, from: number, before: number): Promise<number> =>
  from >= before
    ? 0
    : ((
        await tx.row<{ n: number }>(
          `select count(*)::int as n from fill f where fleet = $1 and started_at >= $2 and started_at < $3 and state <> 'open'
             and volume > 0 and proving is null
             and not exists (select 1 from account_taken t where t.fleet = f.fleet and t.fill = f.id)`,
          // A day of slack at each end, as walls differ: those within it are in the search itself.
          [fleet, (from + 1) * DAY_MS, (before - 1) * DAY_MS],
        )
      )?.n ?? 0);

export interface Drawn {
  readonly statement: Statement;
  /** 'closed': as it was kept. 'next': what closing would keep. 'span': any other days, as the ledger stands. */
  readonly state: 'closed' | 'next' | 'span';
  readonly period?: Period;
  /** Fills of the span that have not ended, as far as the office knows. */
  readonly open: number;
  /** Fills of closed days that came too late to be looked for. */
  readonly tooLate: number;
}

/** The statement of a span of days, both included. */
export async function drawn(tx: Tx, fleet: string, content: Fleet, from: number, to: number): Promise<Drawn> {
  const periods = await periodsOf(tx, fleet);
  const period = periods.find((p) => p.from === from && p.to === to);
  const kept = period && (await frozen(tx, fleet, period.number));
  if (kept) return { statement: kept, state: 'closed', period, open: 0, tooLate: 0 };
  const last = periods.at(-1);
  const next = last === undefined || from === last.to + 1;
  const first = periods[0]?.from ?? from;
  // What came late for closed days falls to the next period.
  const since = next ? Math.max(first, from - LATE_DAYS) : from;
  const { fills, open } = await fillsIn(tx, fleet, content, { from: since, to, untaken: next });
  const entries = next ? await openCorrections(tx, fleet, content, to) : { corrections: [], noSales: [] };
  const statement = makeStatement({
    fleet: content,
    taxes: await taxesOf(tx, fleet),
    fills,
    ...entries,
    from,
    to,
  });
  return { statement, state: next ? 'next' : 'span', open, tooLate: next ? await tooLate(tx, fleet, first, since) : 0 };
}
