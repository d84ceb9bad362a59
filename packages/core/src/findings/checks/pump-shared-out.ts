import { at, type Check, DATA } from '../check.ts';

export const pumpSharedOut: Check = {
  code: 'F109',
  severity: 'note',
  title: 'The hoses of a pump together are faster than it',
  reason: 'When several draw at once each is slower than rated; a slow hose is then no sign of a fault.',
  mend: 'Nothing, if people know it; else a larger pump.',
  source: DATA,
  *find(ctx) {
    for (const pump of ctx.fleet.pumps.values()) {
      const hoses = ctx.citing('hoses', 'pump', pump.id).filter((h) => h.active);
      const sum = hoses.reduce((total, h) => total + h.flow, 0);
      if (hoses.length < 2 || sum <= pump.flow) continue;
      yield {
        on: [at('pumps', pump.id, 'flow')],
        text: `${hoses.length} hoses on ${ctx.called('pumps', pump.id)} are rated ${ctx.volume(sum)}/min together; the pump gives ${ctx.volume(pump.flow)}/min.`,
      };
    }
  },
};
