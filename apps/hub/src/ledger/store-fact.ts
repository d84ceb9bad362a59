import type { Entry, EntryOf } from '@fillwright/core/island';
import type { Tx } from '../store/database.ts';

export interface EntryPlace {
  readonly fleet: string;
  readonly site: string;
  readonly epoch: string;
  readonly seq: number;
}

/** Writes what an entry says beside the fills: refusals, readings, deliveries. Returns the tank that it touches. */
export async function storeFact(tx: Tx, place: EntryPlace, fact: Entry): Promise<string | undefined> {
  const { fleet, site, epoch, seq } = place;
  const id = `${site}.${epoch}.${seq}`;
  if (fact.kind === 'refused') {
    await tx.rows(
      `insert into refusal (fleet, id, site, at, terminal, hose, by, driver, vehicle, revision, decision)
       values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11) on conflict do nothing`,
      [
        fleet,
        id,
        site,
        fact.at,
        fact.terminal,
        fact.hose ?? null,
        fact.reason,
        fact.driver ?? null,
        fact.vehicle ?? null,
        fact.revision,
        JSON.stringify({
          approved: false,
          by: fact.reason,
          steps: fact.steps,
          credentials: fact.credentials,
          ...(fact.asked === undefined ? {} : { asked: fact.asked }),
        }),
      ],
    );
    return undefined;
  }
  if (fact.kind === 'reading') {
    await storeReadings(tx, place, [{ seq, fact }]);
    return fact.tank;
  }
  if (fact.kind === 'delivery') {
    await tx.rows(
      `insert into tank_move (fleet, id, tank, at, kind, volume, by, note) values ($1, $2, $3, $4, 'delivery', $5, $6, $7)
       on conflict do nothing`,
      [fleet, id, fact.tank, fact.at, fact.ul, site, fact.document ?? ''],
    );
    return fact.tank;
  }
  return undefined;
}

/** Many levels in one statement. */
export async function storeReadings(
  tx: Tx,
  { fleet, site, epoch }: Omit<EntryPlace, 'seq'>,
  readings: readonly { readonly seq: number; readonly fact: EntryOf<'reading'> }[],
): Promise<void> {
  if (readings.length === 0) return;
  const column = <T>(of: (fact: EntryOf<'reading'>) => T) => readings.map(({ fact }) => of(fact));
  await tx.rows(
    `insert into tank_reading (fleet, site, epoch, seq, tank, at, moment, fill, level_mm, water_mm, temp_c, volume)
     select $1, $2, $3, r.* from unnest($4::bigint[], $5::text[], $6::bigint[], $7::text[], $8::text[],
       $9::float8[], $10::float8[], $11::float8[], $12::bigint[]) as r on conflict do nothing`,
    [
      fleet,
      site,
      epoch,
      readings.map((r) => r.seq),
      column((f) => f.tank),
      column((f) => f.at),
      column((f) => f.when),
      column((f) => f.fill ?? null),
      column((f) => f.levelMm ?? null),
      column((f) => f.waterMm ?? null),
      column((f) => f.tempC ?? null),
      column((f) => f.ul ?? null),
    ],
  );
}
