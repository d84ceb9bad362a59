import type { Fleet } from '@fillwright/core/fleet';
import { volumeNumber, volumeText } from '../../show/amounts.ts';
import type { Placed } from './layout.ts';
import { HoseSymbol, IslandSymbol, PumpSymbol, TankSymbol, TerminalSymbol } from './symbols.tsx';

const productOf = (fleet: Fleet, id: string): string => {
  const row = fleet.products.get(id);
  return row ? row.short || row.name : 'no product';
};

/** The symbol of a part, with what is written on it. `level`: microlitres that its tank was last known to hold. */
export function PartSymbol({ fleet, at, level }: { fleet: Fleet; at: Placed; level: number | undefined }) {
  switch (at.table) {
    case 'islands':
      return <IslandSymbol at={at} name={fleet.islands.get(at.id)?.name ?? at.id} />;
    case 'terminals': {
      const row = fleet.terminals.get(at.id);
      return row && <TerminalSymbol at={at} terminal={row} />;
    }
    case 'hoses': {
      const row = fleet.hoses.get(at.id);
      return row && <HoseSymbol at={at} hose={row} product={productOf(fleet, row.product)} />;
    }
    case 'pumps': {
      const row = fleet.pumps.get(at.id);
      return row && <PumpSymbol at={at} pump={row} />;
    }
    case 'tanks': {
      const row = fleet.tanks.get(at.id);
      if (!row) return null;
      const capacity = volumeText(fleet, row.capacity, 0);
      return (
        <TankSymbol
          at={at}
          tank={row}
          product={productOf(fleet, row.product)}
          words={level === undefined ? `holds ${capacity}` : `${volumeNumber(fleet, level, 0)} of ${capacity}`}
          part={level === undefined || row.capacity === 0 ? null : level / row.capacity}
        />
      );
    }
  }
}
