import { at, type Check, DATA } from '../check.ts';

export const wishWithoutQuantity: Check = {
  code: 'F237',
  severity: 'error',
  title: 'An expectation needs a quantity',
  reason: '“At least” and “at most” say nothing without one.',
  mend: 'Enter the quantity, or choose “can draw” or “can never draw”.',
  source: DATA,
  *find(ctx) {
    for (const e of ctx.fleet.expectations.values())
      if ((e.must === 'atLeast' || e.must === 'atMost') && e.quantity === null)
        yield {
          on: [at('expectations', e.id, 'quantity')],
          text: `${ctx.called('expectations', e.id)} has no quantity.`,
        };
  },
};
