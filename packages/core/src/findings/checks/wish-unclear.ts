import type { Expectation } from '../../fleet/index.ts';
import { subjectOf } from '../../reach/index.ts';
import { at, type Check, DATA } from '../check.ts';

export const wishUnclear: Check = {
  code: 'F290',
  severity: 'error',
  title: 'An expectation cannot be read',
  reason: 'It cannot be checked, so nobody knows whether it holds.',
  mend: 'Choose words that go together; the page Expectations offers only such.',
  source: DATA,
  *find(ctx) {
    for (const e of ctx.fleet.expectations.values()) {
      const found = unclear(e);
      if (found)
        yield {
          on: [at('expectations', e.id, found[0])],
          text: `${ctx.called('expectations', e.id)} ${found[1]}.`,
        };
    }
  },
};

function unclear(e: Expectation): [keyof Expectation, string] | undefined {
  if (subjectOf(e.who).others && (e.must === 'never' || e.must === 'atMost'))
    return ['must', 'says “nobody but” and “never” or “at most” in one: say “can draw” or “can draw at least”'];
  if (e.must === 'atLeast' && e.quantity === 0) return ['quantity', 'asks for at least nothing'];
  if (e.from !== null && e.until !== null && e.until < e.from) return ['until', 'ends before it begins'];
  return undefined;
}
