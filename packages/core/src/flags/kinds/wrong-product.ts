import { type FlagKind, PRACTICE } from '../flag.ts';

const LEAST_HISTORY = 10;

export const wrongProduct: FlagKind = {
  code: 'G08',
  title: 'A product that the vehicle does not take',
  reason: 'Every earlier fill was of another kind: the wrong fuel in the tank, or the fuel went elsewhere.',
  next: 'If the vehicle was misfuelled, do not start it; have the tank emptied by the workshop. Then take the product from its allowance.',
  source: PRACTICE,
  *find({ byVehicle, fleet, called, volumeText }) {
    const kindOf = (product: string) => fleet.products.get(product)?.kind ?? product;
    for (const [id, fills] of byVehicle) {
      const counts = new Map<string, number>();
      let earlier = 0;
      for (const fill of fills) {
        const kind = kindOf(fill.product);
        if (kind === 'def') continue;
        if (earlier >= LEAST_HISTORY && !counts.has(kind)) {
          const usual = [...counts].sort((a, b) => b[1] - a[1])[0]?.[0] ?? '';
          yield {
            at: fill.from,
            on: [
              { table: 'fills', id: fill.id },
              { table: 'vehicles', id },
            ],
            text: `${called('vehicles', id)} took ${volumeText(fill.volume)} of ${called('products', fill.product)}; its ${earlier} earlier fills were of another kind (${usual}).`,
            evidence: { volume: fill.volume, earlier, kind, usual },
          };
        }
        counts.set(kind, (counts.get(kind) ?? 0) + 1);
        earlier++;
      }
    }
  },
};
