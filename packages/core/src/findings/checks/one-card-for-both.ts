import { at, type Check, PRACTICE } from '../check.ts';

export const oneCardForBoth: Check = {
  code: 'F232',
  severity: 'note',
  title: 'One credential names driver and vehicle both',
  reason: 'Who finds it needs no second one, even where a site wants both known.',
  mend: 'Hand out one for the driver and one for the vehicle, where sites want both.',
  source: PRACTICE,
  *find(ctx) {
    if (!ctx.liveSites.some((s) => s.identify === 'both' && !s.pin)) return;
    for (const c of ctx.fleet.credentials.values())
      if (c.driver !== null && c.vehicle !== null && !c.stopped)
        yield {
          on: [at('credentials', c.id)],
          text: `${ctx.called('credentials', c.id)} is enough alone for ${ctx.called('drivers', c.driver)} with ${ctx.called('vehicles', c.vehicle)}.`,
        };
  },
};
