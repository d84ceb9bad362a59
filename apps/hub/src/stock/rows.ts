import type { Tx } from '../store/database.ts';

/** What the ledger knows of a tank in a span of time, as it lies in the tables. */
export interface TankRows {
  readonly readings: readonly {
    at: number;
    moment: string;
    volume: number;
    level_mm: number | null;
    temp_c: number | null;
    water_mm: number | null;
  }[];
  readonly fills: readonly {
    id: string;
    hose: string;
    started: number;
    at: number;
    volume: number;
    tanks: number;
    /** Of it, what a proving run put back into this tank. */
    back: number;
  }[];
  readonly others: readonly {
    id: string;
    at: number;
    kind: 'delivery' | 'dip' | 'correction' | 'proving';
    volume: number;
    document: string | null;
    gross: number | null;
    net: number | null;
    temp_c: number | null;
    compartments: number[] | null;
    note: string;
  }[];
  /** Drawn on each instant's move over a longer time, for the demand. */
  readonly demand: readonly { at: number; volume: number }[];
  /** What the whole book says is in the tank. */
  readonly book: number;
}

/** More readings than a gauge gives in three months of half-minutes are not looked at: the newest count. */
const MOST_READINGS = 60_000;
const DAY_MS = 86_400_000;

export async function tankRows(
  tx: Tx,
  fleet: string,
  tank: string,
  /** That draw from it. */
  hoses: readonly string[],
  from: number,
  demandFrom: number,
): Promise<TankRows> {
  // What a fill under way has taken is in the level and not yet in the book: it would look like a loss. One that is still open after a day is one.
  const readings = await tx.rows<TankRows['readings'][number]>(
    `select at, moment, volume, level_mm, temp_c, water_mm from (
       select * from tank_reading where fleet = $1 and tank = $2 and at >= $3 and volume is not null
         and at < coalesce((select min(started_at) from fill where fleet = $1 and state = 'open' and hose = any($4)
                              and started_at > (select max(at) from tank_reading where fleet = $1 and tank = $2) - $5), $6)
       order by at desc limit ${MOST_READINGS}
     ) as r order by at`,
    [fleet, tank, from, hoses, DAY_MS, Number.MAX_SAFE_INTEGER],
  );
  const fills = await tx.rows<TankRows['fills'][number]>(
    `select f.id, f.hose, f.started_at as started, m.at, -m.volume as volume,
            (select count(*)::int from tank_move o where o.fleet = m.fleet and o.fill = m.fill) as tanks,
            coalesce((select round(p.returned::numeric * f.volume / nullif(
                (select sum(t.volume) from fill t where t.fleet = p.fleet and t.proving = p.id), 0))::bigint
              from proving p where p.fleet = f.fleet and p.id = f.proving and p.tank = m.tank), 0)::bigint as back
     from tank_move m join fill f on f.fleet = m.fleet and f.id = m.fill
     where m.fleet = $1 and m.tank = $2 and m.kind = 'fill' and m.at >= $3 order by m.at, m.number`,
    [fleet, tank, from],
  );
  const others = await tx.rows<TankRows['others'][number]>(
    `select m.id, m.at, m.kind, m.volume, m.note, b.document, b.gross, b.net, b.temp_c, b.compartments
     from tank_move m left join bill b on b.fleet = m.fleet and b.move = m.id
     where m.fleet = $1 and m.tank = $2 and m.kind <> 'fill' and m.at >= $3 order by m.at, m.number`,
    [fleet, tank, from],
  );
  const demand = await tx.rows<TankRows['demand'][number]>(
    `select at, -volume as volume from tank_move m where fleet = $1 and tank = $2 and kind = 'fill' and at >= $3
       and not exists (select from fill f where f.fleet = m.fleet and f.id = m.fill and f.proving is not null) order by at`,
    [fleet, tank, demandFrom],
  );
  const whole = await tx.row<{ book: number }>(
    `select coalesce(sum(volume), 0)::bigint as book from tank_move where fleet = $1 and tank = $2 and kind <> 'dip'`,
    [fleet, tank],
  );
  return { readings, fills, others, demand, book: whole?.book ?? 0 };
}

/** Changes whenever something came that a tank's stock is worked out from: its newest reading, moves and bills. */
export async function tankMark(tx: Tx, fleet: string, tank: string): Promise<string> {
  const row = await tx.row<{ mark: string }>(
    `select concat_ws(' ', (select max(at) from tank_reading where fleet = $1 and tank = $2),
            (select max(number) from tank_move where fleet = $1 and tank = $2)) as mark`,
    [fleet, tank],
  );
  return row?.mark ?? '';
}
