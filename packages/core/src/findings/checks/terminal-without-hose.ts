import { at, type Check, DATA } from '../check.ts';

export const terminalWithoutHose: Check = {
  code: 'F115',
  severity: 'warning',
  title: 'A terminal has no hose in service',
  reason: 'A person who identifies there is offered nothing.',
  mend: 'Add the terminal to its hoses, or take it away.',
  source: DATA,
  *find(ctx) {
    for (const terminal of ctx.fleet.terminals.values())
      if (!ctx.citing('hoses', 'terminals', terminal.id).some((h) => h.active))
        yield {
          on: [at('terminals', terminal.id)],
          text: `No hose in service can be chosen from ${ctx.called('terminals', terminal.id)}.`,
        };
  },
};
