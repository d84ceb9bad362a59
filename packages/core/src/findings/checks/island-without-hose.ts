import { at, type Check, DATA } from '../check.ts';

export const islandWithoutHose: Check = {
  code: 'F111',
  severity: 'warning',
  title: 'An island has no hose',
  reason: 'Nobody can fuel there; most often hoses were forgotten.',
  mend: 'Add its hoses, or take the island away.',
  source: DATA,
  *find(ctx) {
    for (const island of ctx.fleet.islands.values())
      if (ctx.citing('hoses', 'island', island.id).length === 0)
        yield { on: [at('islands', island.id)], text: `No hose stands on ${ctx.called('islands', island.id)}.` };
  },
};
