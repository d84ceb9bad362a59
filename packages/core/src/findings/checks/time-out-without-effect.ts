import { at, type Check, DATA } from '../check.ts';

export const timeOutWithoutEffect: Check = {
  code: 'F124',
  severity: 'warning',
  title: 'A hose’s time-out is longer than its longest fill',
  reason: 'The longest fill ends everything first, so a fill that has stopped flowing is not noticed in between.',
  mend: 'Shorten the time-out, or lengthen the longest fill.',
  source: DATA,
  *find(ctx) {
    for (const hose of ctx.fleet.hoses.values())
      for (const field of ['firstPulse', 'noPulse'] as const)
        if (hose[field] >= hose.longest * 60)
          yield {
            on: [at('hoses', hose.id, field)],
            text: `${ctx.called('hoses', hose.id)} waits ${hose[field]} s ${field === 'noPulse' ? 'without pulses' : 'for the first pulse'}, but its longest fill is ${hose.longest} min.`,
          };
  },
};
