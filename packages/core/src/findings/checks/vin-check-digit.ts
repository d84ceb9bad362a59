import { vinDigit, vinHolds } from '../../fleet/index.ts';
import { at, type Check } from '../check.ts';

export const vinCheckDigit: Check = {
  code: 'F210',
  severity: 'warning',
  title: 'A VIN fails its check digit',
  reason:
    'In vehicles made for the United States or Canada the ninth place is a check digit; where it fails, something was typed wrong. European ones may fail it rightly.',
  mend: 'Read the plate on the vehicle again.',
  source: '49 CFR 565.15',
  *find(ctx) {
    for (const v of ctx.fleet.vehicles.values())
      if (vinHolds(v.vin) === false)
        yield {
          on: [at('vehicles', v.id, 'vin')],
          text: `${ctx.called('vehicles', v.id)} has the VIN ${v.vin}; its ninth place would be ${vinDigit(v.vin)}, if the others are right.`,
        };
  },
};
