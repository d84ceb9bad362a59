import type { Entry } from '@fillwright/core/island';
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
    await tx.rows(
      `insert into tank_reading (fleet, site, epoch, seq, tank, at, moment, fill, level_mm, water_mm, temp_c, volume)
       values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12) on conflict do nothing`,
      [
        fleet,
        site,
        epoch,
        seq,
        fact.tank,
        fact.at,
        fact.when,
        fact.fill ?? null,
        fact.levelMm ?? null,
        fact.waterMm ?? null,
        fact.tempC ?? null,
        fact.ul ?? null,
      ],
    );
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
