import { LEAST_USEFUL } from '../../decide/index.ts';
import { at, type Check, PRACTICE } from '../check.ts';

export const vehicleTankOfNothing: Check = {
  code: 'F224',
  severity: 'warning',
  title: 'A vehicle’s own tank is too small to fill',
  reason: 'A decision below 0.1 l refuses, so the vehicle can never draw.',
  mend: 'Enter what its tank holds, or leave it empty for not known.',
  source: PRACTICE,
  *find(ctx) {
    for (const v of ctx.fleet.vehicles.values())
      if (v.capacity !== null && v.capacity < LEAST_USEFUL)
        yield {
          on: [at('vehicles', v.id, 'capacity')],
          text: `The tank of ${ctx.called('vehicles', v.id)} holds ${ctx.volume(v.capacity)}.`,
        };
  },
};
