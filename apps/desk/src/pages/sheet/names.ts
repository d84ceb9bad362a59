import { type Fleet, rowsOf, TABLES } from '@fillwright/core/fleet';
import { NOT_CHOSEN } from './add.ts';
import type { PartRef } from './layout.ts';

const nameIn = (fleet: Fleet, table: 'islands' | 'pumps' | 'tanks' | 'products', id: string): string =>
  (rowsOf(fleet, table).get(id)?.name as string | undefined) ?? (id === NOT_CHOSEN ? '' : id);

/** What a part is called where nobody sees where it stands: 'Hose 3, diesel, island North'. */
export function partName(fleet: Fleet, part: PartRef): string {
  const { table, id } = part;
  switch (table) {
    case 'hoses': {
      const hose = fleet.hoses.get(id);
      if (!hose) break;
      const product = nameIn(fleet, 'products', hose.product) || 'no product';
      const island = nameIn(fleet, 'islands', hose.island);
      return `Hose ${hose.number}, ${product}, ${island ? `island ${island}` : 'on no island'}${hose.active ? '' : ', out of service'}`;
    }
    case 'tanks': {
      const tank = fleet.tanks.get(id);
      if (!tank) break;
      return `Tank ${tank.name}, ${nameIn(fleet, 'products', tank.product) || 'no product'}`;
    }
    case 'pumps': {
      const pump = fleet.pumps.get(id);
      if (!pump) break;
      const tanks = pump.tanks.map((t) => nameIn(fleet, 'tanks', t));
      return `Pump ${pump.name}, ${pump.kind}, ${tanks.length > 0 ? `from ${tanks.join(' and ')}` : 'from no tank'}`;
    }
    case 'terminals': {
      const terminal = fleet.terminals.get(id);
      if (!terminal) break;
      const island = nameIn(fleet, 'islands', terminal.island);
      return `Terminal ${terminal.name}, ${island ? `island ${island}` : 'on no island'}`;
    }
    case 'islands': {
      const island = fleet.islands.get(id);
      if (!island) break;
      return `Island ${island.name}`;
    }
  }
  return `${TABLES[table].one} ${id}`;
}
