import { at, type Check, DATA } from '../check.ts';

export const hoseFasterThanPump: Check = {
  code: 'F108',
  severity: 'warning',
  title: 'A hose is rated faster than its pump',
  reason: 'The hose never flows as declared, so times and slow-flow warnings made from it are wrong.',
  mend: 'Correct the hose’s or the pump’s rated flow from their plates.',
  source: DATA,
  *find(ctx) {
    for (const hose of ctx.fleet.hoses.values()) {
      const pump = ctx.fleet.pumps.get(hose.pump);
      if (!pump || hose.flow <= pump.flow) continue;
      yield {
        on: [at('hoses', hose.id, 'flow'), at('pumps', pump.id, 'flow')],
        text: `${ctx.called('hoses', hose.id)} is rated ${ctx.volume(hose.flow)}/min, ${ctx.called('pumps', pump.id)} ${ctx.volume(pump.flow)}/min.`,
      };
    }
  },
};
