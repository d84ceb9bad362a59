import { type FlagFill, type FlagKind, PRACTICE } from '../flag.ts';

/** Tanks hold a little more than their plate says, filler neck included. Common practice, no source. */
const MARGIN = 0.05;
/** Fills so soon after each other go into the same tank: nobody burns much meanwhile. Common practice, no source. */
const WITHIN_MS = 3_600_000;

/** A terminal lets nobody draw more in one fill than the roster's tank holds; so it is the sum of fills within the hour that tells. */
export const overTank: FlagKind = {
  code: 'G01',
  title: 'More than the vehicle’s tank holds',
  reason: 'A tank cannot take more than it holds: some of it went elsewhere, or the roster has the wrong tank.',
  next: 'Compare with the vehicle’s papers. If the roster is right, ask the driver what else was filled.',
  source: PRACTICE,
  *find({ fleet, byVehicle, volumeText, called }) {
    for (const [id, all] of byVehicle) {
      const capacity = fleet.vehicles.get(id)?.capacity ?? null;
      if (capacity === null) continue;
      // DEF goes into a tank of its own, which the roster does not know.
      const fuel = all.filter((f) => fleet.products.get(f.product)?.kind !== 'def');
      let chain: FlagFill[] = [];
      for (const fill of fuel) {
        const last = chain.at(-1);
        chain = last && fill.from - last.to <= WITHIN_MS ? [...chain, fill] : [fill];
        const volume = chain.reduce((sum, f) => sum + f.volume, 0);
        if (volume <= capacity * (1 + MARGIN)) continue;
        const times = chain.length === 1 ? '' : ` in ${chain.length} fills within the hour`;
        yield {
          at: fill.from,
          on: [...chain.toReversed().map((f) => ({ table: 'fills', id: f.id }) as const), { table: 'vehicles', id }],
          text: `${called('vehicles', id)} took ${volumeText(volume)}${times}; its tank holds ${volumeText(capacity)}.`,
          evidence: { volume, capacity, fills: chain.length },
        };
        // What was said is not said again of the next fill.
        chain = [];
      }
    }
  },
};
