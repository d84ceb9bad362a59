import type { Fleet, Tank } from '@fillwright/core/fleet';
import { celsiusOfFahrenheit } from '@fillwright/core/metering';
import type { StockAsked } from '../figures/question.ts';
import { zoneOrUtc } from '../ledger/zones.ts';
import type { Database } from '../store/database.ts';
import { tankRows } from './rows.ts';

/** Demand is learned from so many days. */
const DEMAND_DAYS = 120;
const DAY_MS = 86_400_000;

/** What a tank's wet stock is worked out from between two moments (ms UTC): its wish, and the rows of the ledger that it is worked out from. */
export async function stockAsked(
  db: Database,
  fleetId: string,
  fleet: Fleet,
  tank: Tank,
  span: { readonly from: number; readonly to: number; readonly leadDays: number },
): Promise<StockAsked> {
  return {
    wish: {
      ...span,
      tank,
      productKind: fleet.products.get(tank.product)?.kind ?? 'other',
      zone: zoneOrUtc(fleet.sites.get(tank.site)?.zone),
      units: fleet.settings.units,
      netBaseC: fleet.settings.units === 'us' ? celsiusOfFahrenheit(60) : 15,
      hoseNames: Object.fromEntries([...fleet.hoses.values()].map((h) => [h.id, `hose ${h.number}`])),
    },
    rows: await db.as(fleetId, (tx) =>
      tankRows(tx, fleetId, tank.id, hosesOf(fleet, tank), span.from, span.to - DEMAND_DAYS * DAY_MS),
    ),
  };
}

const hosesOf = (fleet: Fleet, tank: Tank): string[] =>
  [...fleet.hoses.values()].filter((h) => fleet.pumps.get(h.pump)?.tanks.includes(tank.id)).map((h) => h.id);
