import { at, type Check, DATA } from '../check.ts';
import { alike } from '../context.ts';

export const credentialNumberTwice: Check = {
  code: 'F206',
  severity: 'error',
  title: 'Two credentials have one number',
  reason: 'The site cannot tell them apart and refuses both.',
  mend: 'Correct the number that was typed wrong, or take one credential away.',
  source: DATA,
  *find(ctx) {
    for (const group of alike(ctx.fleet.credentials.values(), (c) => c.number.trim()))
      yield {
        on: group.map((c) => at('credentials', c.id, 'number')),
        text: `${group.length} credentials have the number ${group[0]?.number.trim()}.`,
      };
  },
};
