import { type FlagKind, PRACTICE } from '../flag.ts';

/** Tanks hold a little more than their plate says, filler neck included. Common practice, no source. */
const MARGIN = 0.05;

export const overTank: FlagKind = {
  code: 'G01',
  title: 'More than the vehicle’s tank holds',
  reason: 'A tank cannot take more than it holds: some of it went elsewhere, or the roster has the wrong tank.',
  next: 'Compare with the vehicle’s papers. If the roster is right, ask the driver what else was filled.',
  source: PRACTICE,
  *find({ fleet, fills, volumeText, called }) {
    for (const fill of fills) {
      const vehicle = fill.vehicle === null ? undefined : fleet.vehicles.get(fill.vehicle);
      // DEF goes into a tank of its own, which the roster does not know.
      if (!vehicle || vehicle.capacity === null || fleet.products.get(fill.product)?.kind === 'def') continue;
      if (fill.volume <= vehicle.capacity * (1 + MARGIN)) continue;
      yield {
        at: fill.from,
        on: [
          { table: 'fills', id: fill.id },
          { table: 'vehicles', id: vehicle.id },
        ],
        text: `${called('vehicles', vehicle.id)} took ${volumeText(fill.volume)}; its tank holds ${volumeText(vehicle.capacity)}.`,
        evidence: { volume: fill.volume, capacity: vehicle.capacity },
      };
    }
  },
};
