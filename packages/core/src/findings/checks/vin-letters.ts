import { isVinShaped } from '../../fleet/index.ts';
import { at, type Check } from '../check.ts';

export const vinLetters: Check = {
  code: 'F211',
  severity: 'warning',
  title: 'A VIN holds what no VIN holds',
  reason: 'A VIN of 17 places is capital letters and digits, never I, O or Q, which are mistaken for 1 and 0.',
  mend: 'Write capitals; read I as 1, O and Q as 0, and look at the plate.',
  source: '49 CFR 565.15',
  *find(ctx) {
    for (const v of ctx.fleet.vehicles.values())
      if (v.vin.length === 17 && !isVinShaped(v.vin))
        yield { on: [at('vehicles', v.id, 'vin')], text: `${ctx.called('vehicles', v.id)} has the VIN ${v.vin}.` };
  },
};
