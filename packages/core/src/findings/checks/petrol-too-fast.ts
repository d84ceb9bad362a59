import { at, type Check } from '../check.ts';

// 10 US gallons in microlitres, rounded up so that a flow typed as exactly 10 gal/min passes.
const TEN_GALLONS = 37_854_118;

export const petrolTooFast: Check = {
  code: 'F107',
  severity: 'warning',
  title: 'A petrol hose is faster than 10 gallons a minute',
  reason:
    'Petrol into motor vehicles may flow at 10 gal/min (37.9 l/min) at most; pumps for heavy-duty vehicles, boats or aircraft only are exempt.',
  mend: 'Fit and declare a slower nozzle, or write down why the hose is exempt.',
  source: '40 CFR 1090.1550, before that 40 CFR 80.22(j); United States only',
  *find(ctx) {
    for (const hose of ctx.fleet.hoses.values())
      if (hose.flow > TEN_GALLONS && ctx.fleet.products.get(hose.product)?.kind === 'petrol')
        yield {
          on: [at('hoses', hose.id, 'flow')],
          text: `${ctx.called('hoses', hose.id)} gives petrol at ${ctx.volume(hose.flow)}/min.`,
        };
  },
};
