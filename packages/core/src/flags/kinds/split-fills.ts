import { type FlagFill, type FlagKind, PRACTICE } from '../flag.ts';

const WITHIN_MIN = 60;
/** How near to what was approved a fill must have come to count as stopped by it. */
const AT_LIMIT = 0.98;

export const splitFills: FlagKind = {
  code: 'G07',
  title: 'Fills split under a limit',
  reason:
    'A fill ended at its limit and the same vehicle or driver drew again within the hour: the limit per fill was walked around.',
  next: 'If more is needed at once, raise the limit per fill. If not, set one per day.',
  source: PRACTICE,
  *find({ byVehicle, byDriver, called, volumeText, fleet }) {
    const groups = [
      ...[...byVehicle].map(([id, fills]) => ['vehicles', id, fills] as const),
      // Where only the driver is asked for, the driver is all that is known.
      ...[...byDriver].map(([id, fills]) => ['drivers', id, fills.filter((f) => f.vehicle === null)] as const),
    ];
    for (const [table, id, fills] of groups) {
      let begun: FlagFill[] = [];
      const chains: FlagFill[][] = [];
      for (const fill of fills) {
        const last = begun.at(-1);
        const follows =
          last !== undefined &&
          last.product === fill.product &&
          fill.from - last.to <= WITHIN_MIN * 60_000 &&
          last.volume >= last.limit * AT_LIMIT;
        if (follows) begun.push(fill);
        else {
          if (begun.length > 1) chains.push(begun);
          begun = [fill];
        }
      }
      if (begun.length > 1) chains.push(begun);
      for (const chain of chains) {
        const first = chain[0] as FlagFill;
        const volume = chain.reduce((sum, f) => sum + f.volume, 0);
        if (fleet.products.get(first.product)?.kind === 'def') continue;
        yield {
          at: (chain.at(-1) as FlagFill).from,
          on: [...chain.map((f) => ({ table: 'fills', id: f.id }) as const), { table, id }],
          text: `${called(table, id)} drew ${volumeText(volume)} in ${chain.length} fills within the hour; one fill is limited to ${volumeText(first.limit)}.`,
          evidence: { fills: chain.length, volume, limit: first.limit },
        };
      }
    }
  },
};
