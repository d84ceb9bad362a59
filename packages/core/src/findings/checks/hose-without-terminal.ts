import { at, type Check, DATA } from '../check.ts';

export const hoseWithoutTerminal: Check = {
  code: 'F114',
  severity: 'error',
  title: 'A hose in service has no terminal',
  reason: 'Nobody can choose it.',
  mend: 'Name the terminals from which it can be chosen, or take it out of service.',
  source: DATA,
  *find(ctx) {
    for (const hose of ctx.fleet.hoses.values())
      if (hose.active && hose.terminals.length === 0)
        yield {
          on: [at('hoses', hose.id, 'terminals')],
          text: `${ctx.called('hoses', hose.id)} can be chosen from no terminal.`,
        };
  },
};
