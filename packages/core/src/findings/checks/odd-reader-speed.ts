import { at, type Check, PRACTICE } from '../check.ts';

const USUAL = [300, 600, 1200, 2400, 4800, 9600, 14_400, 19_200, 38_400, 57_600, 115_200];

export const oddReaderSpeed: Check = {
  code: 'F131',
  severity: 'warning',
  title: 'A reader’s speed is not a usual one',
  reason: 'Serial lines of readers run at a few usual speeds; at any other the box reads nothing.',
  mend: 'Take the speed from the reader’s setting.',
  source: PRACTICE,
  *find(ctx) {
    for (const terminal of ctx.fleet.terminals.values())
      if (!USUAL.includes(terminal.baud))
        yield {
          on: [at('terminals', terminal.id, 'baud')],
          text: `The reader of ${ctx.called('terminals', terminal.id)} is set to ${terminal.baud} baud.`,
        };
  },
};
