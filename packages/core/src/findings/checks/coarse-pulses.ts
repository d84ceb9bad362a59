import { unitOf } from '../../fleet/index.ts';
import { formatDecimal } from '../../units/index.ts';
import { at, type Check, PRACTICE } from '../check.ts';

export const coarsePulses: Check = {
  code: 'F126',
  severity: 'note',
  title: 'A hose counts in coarse steps',
  reason:
    'One pulse is more than a tenth of a gallon or litre, so limits are met, and meters proved, only that finely.',
  mend: 'Check the pulser’s plate: ten or more pulses a unit are usual.',
  source: PRACTICE,
  *find(ctx) {
    for (const hose of ctx.fleet.hoses.values())
      if (hose.pulses < 10_000)
        yield {
          on: [at('hoses', hose.id, 'pulses')],
          text: `${ctx.called('hoses', hose.id)} gives ${formatDecimal(hose.pulses, 3)} pulses a ${unitOf(ctx.fleet.settings)}.`,
        };
  },
};
