import { luhnDigit, luhnHolds } from '../../fleet/index.ts';
import { at, type Check } from '../check.ts';

export const cardCheckDigit: Check = {
  code: 'F207',
  severity: 'warning',
  title: 'A card’s number fails its check digit',
  reason:
    'Cards of 13 to 19 digits most often end in a check digit; where it fails, a digit was typed wrong and the card will not be known.',
  mend: 'Read the card again. If your cards carry no check digit, say so at release.',
  source: 'ISO/IEC 7812-1 Annex B (the modulus 10 formula)',
  *find(ctx) {
    for (const c of ctx.fleet.credentials.values())
      if (c.kind === 'card' && /^\d{13,19}$/.test(c.number) && !luhnHolds(c.number))
        yield {
          on: [at('credentials', c.id, 'number')],
          text: `Card ${c.number} would end in ${luhnDigit(c.number.slice(0, -1))}, if the other digits are right.`,
        };
  },
};
