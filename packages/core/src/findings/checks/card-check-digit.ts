import { luhnDigit, luhnHolds } from '../../fleet/index.ts';
import { at, type Check } from '../check.ts';

const BATCH = 20;

export const cardCheckDigit: Check = {
  code: 'F207',
  severity: 'warning',
  title: 'A card’s number fails its check digit',
  reason:
    'Cards of 13 to 19 digits most often end in a check digit; where it fails, a digit was typed wrong and the card will not be known.',
  mend: 'Read the card again. If your cards carry no check digit, say so at release.',
  source: 'ISO/IEC 7812-1 Annex B (the modulus 10 formula)',
  *find(ctx) {
    const cards = [...ctx.fleet.credentials.values()].filter((c) => c.kind === 'card' && /^\d{13,19}$/.test(c.number));
    const failing = cards.filter((c) => !luhnHolds(c.number)).sort((a, b) => (a.id < b.id ? -1 : 1));
    const first = failing[0];
    // A number without a check digit fails nine times in ten: a batch that does has none, and is one matter, not thousands.
    if (first && cards.length >= BATCH && failing.length * 2 > cards.length) {
      yield {
        on: [at('credentials', first.id, 'number')],
        text: `${failing.length} of ${cards.length} cards of 13 to 19 digits fail: most likely your cards carry no check digit.`,
        facts: { failing: failing.length, cards: cards.length },
      };
      return;
    }
    for (const c of failing)
      yield {
        on: [at('credentials', c.id, 'number')],
        text: `Card ${c.number} would end in ${luhnDigit(c.number.slice(0, -1))}, if the other digits are right.`,
      };
  },
};
