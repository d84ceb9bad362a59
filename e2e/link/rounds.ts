import type { Fleet } from '@fillwright/core/fleet';
import type { Random } from '@fillwright/sim';
import type { Box } from '../stage/box.ts';
import { HOSES, smallFleet } from '../stage/fleet.ts';
import { flowing } from '../stage/hands.ts';
import type { Office } from '../stage/office.ts';

/** How often a broker is killed: FILLWRIGHT_KILLS sets how many rounds, one kill each; FILLWRIGHT_SEED sets where in a fill. */
export const ROUNDS = Number(process.env.FILLWRIGHT_KILLS ?? 2);
export const SEED = process.env.FILLWRIGHT_SEED ?? 'ebb';
/** People come all the time, so that a kill meets a line in use. */
export const TRAFFIC = { pace: 40, traffic: SEED } as const;
export const WITHIN_MS = 600_000 + ROUNDS * 60_000;

/** 22.7 l, 18 s at 20 gal/min: pumps run by the clock on the wall, whatever the pace of the people. */
const MOST = 6 * 3_785_412;

/** The small fleet with fills so short that many begin and end within a run. */
export function shortFills(): Fleet {
  const fleet = smallFleet();
  const short = [...fleet.allowances].map(([id, allowance]) => [id, { ...allowance, perFill: MOST }] as const);
  return { ...fleet, allowances: new Map(short) };
}

/** Waits until a hose is somewhere in a fill, the seed says where. */
export const someFlow = (box: Box, random: Random) =>
  flowing(box, random.whole(0, 5), random.pick(HOSES), random.whole(1, 18));

/** A release with another price. */
export async function newPrice(office: Office, round: number): Promise<number> {
  await office.edit({ op: 'set', table: 'prices', id: 'diesel-price', fields: { price: 42_000 + round } });
  return office.release(`Sent in round ${round}, while the broker was away`);
}
