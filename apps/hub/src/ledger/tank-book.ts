import type { Fleet } from '@fillwright/core/fleet';
import type { TankBook, TankMove } from '@fillwright/wire';
import type { Tx } from '../store/database.ts';

/** Each tank of the draft: what the book says, and what was last measured, by a dip or by the site's own gauge. */
export async function tankBooks(tx: Tx, fleet: string, content: Fleet): Promise<TankBook[]> {
  const books = await tx.rows<{ tank: string; book: number; at: number }>(
    `select tank, sum(volume)::bigint as book, max(at) as at from tank_move
     where fleet = $1 and kind <> 'dip' group by tank`,
    [fleet],
  );
  const measured = await tx.rows<{ tank: string; volume: number; at: number }>(
    `select distinct on (tank) tank, volume, at from (
       select tank, volume, at from tank_move where fleet = $1 and kind = 'dip'
       union all
       select tank, volume, at from tank_reading where fleet = $1 and volume is not null
     ) as m order by tank, at desc`,
    [fleet],
  );
  const book = new Map(books.map((b) => [b.tank, b]));
  const level = new Map(measured.map((m) => [m.tank, m]));
  return [...content.tanks.values()].map((tank) => ({
    tank: tank.id,
    site: tank.site,
    name: tank.name,
    product: tank.product,
    capacity: tank.capacity,
    book: book.get(tank.id)?.book ?? 0,
    bookAt: book.get(tank.id)?.at ?? null,
    measured: level.get(tank.id)?.volume ?? null,
    measuredAt: level.get(tank.id)?.at ?? null,
  }));
}

/** The newest moves, each with what the book said after it. A dip is measured beside the book and leaves it as it is. */
export const tankMoves = (tx: Tx, fleet: string, tank: string, limit: number): Promise<TankMove[]> =>
  tx.rows<TankMove>(
    `select id, tank, at, kind, volume, book, by, note, fill from (
       select *, coalesce(sum(volume) filter (where kind <> 'dip') over (order by at, number), 0)::bigint as book
       from tank_move where fleet = $1 and tank = $2
     ) as m order by at desc, number desc limit $3`,
    [fleet, tank, limit],
  );

export interface NewMove {
  readonly id: string;
  readonly tank: string;
  readonly kind: 'delivery' | 'dip' | 'correction' | 'proving';
  readonly volume: number;
  readonly at: number;
  readonly by: string;
  readonly note: string;
}

export async function addMove(tx: Tx, fleet: string, move: NewMove): Promise<TankMove> {
  await tx.rows(
    'insert into tank_move (fleet, id, tank, at, kind, volume, by, note) values ($1, $2, $3, $4, $5, $6, $7, $8)',
    [fleet, move.id, move.tank, move.at, move.kind, move.volume, move.by, move.note],
  );
  const row = await tx.row<{ book: number }>(
    `select coalesce(sum(volume), 0)::bigint as book from tank_move
     where fleet = $1 and tank = $2 and kind <> 'dip'
       and (at, number) <= (select at, number from tank_move where fleet = $1 and id = $3)`,
    [fleet, move.tank, move.id],
  );
  return { ...move, book: row?.book ?? 0, fill: null };
}
