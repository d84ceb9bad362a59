import { at, type Check, PRACTICE } from '../check.ts';

export const unlikeHoseAndTerminalIsland: Check = {
  code: 'F133',
  severity: 'note',
  title: 'A hose is chosen only from another island’s terminal',
  reason: 'The person stands away from the hose that they open.',
  mend: 'Check that the hose and its terminals are on the islands where they stand.',
  source: PRACTICE,
  *find(ctx) {
    for (const hose of ctx.liveHoses) {
      const terminals = hose.terminals.flatMap((id) => ctx.fleet.terminals.get(id) ?? []);
      if (terminals.length === 0 || terminals.some((t) => t.island === hose.island)) continue;
      yield {
        on: [at('hoses', hose.id, 'terminals')],
        text: `${ctx.called('hoses', hose.id)} stands on ${ctx.called('islands', hose.island)}, its terminals elsewhere.`,
      };
    }
  },
};
