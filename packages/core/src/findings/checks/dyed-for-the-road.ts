import { at, type Check } from '../check.ts';

export const dyedForTheRoad: Check = {
  code: 'F240',
  severity: 'note',
  title: 'A vehicle with a plate may draw dyed diesel',
  reason: 'Dyed fuel in a taxable use costs the greater of $1,000 or $10 a gallon, more each time.',
  mend: 'Check that the vehicle is not used on the road, or take the product out of its allowances.',
  source: '26 USC 6715; United States only',
  *find(ctx) {
    const dyed = new Set<string>();
    for (const a of ctx.fleet.allowances.values())
      if (a.products.some((id) => ctx.fleet.products.get(id)?.kind === 'dyed')) dyed.add(a.id);
    for (const v of ctx.fleet.vehicles.values())
      if (v.active && v.plate.trim() !== '' && v.allowances.some((id) => dyed.has(id)))
        yield {
          on: [at('vehicles', v.id, 'allowances')],
          text: `${ctx.called('vehicles', v.id)} has the plate ${v.plate} and may draw dyed diesel.`,
        };
  },
};
