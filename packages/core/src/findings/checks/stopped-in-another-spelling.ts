import { at, type Check, DATA } from '../check.ts';

/** A reader or a keyboard may give or drop leading noughts; the number on the card is the same. */
const bare = (number: string) => number.replace(/\D/g, '').replace(/^0+/, '');

export const stoppedInAnotherSpelling: Check = {
  code: 'F245',
  severity: 'warning',
  title: 'A stopped number that is still accepted in another spelling',
  reason:
    'A stopped credential and one in use differ in leading noughts or blanks only. The lost card may be the one that still works.',
  mend: 'Look at both cards, and stop or delete the one that should not be there.',
  source: DATA,
  *find(ctx) {
    const good = new Map<string, string[]>();
    for (const c of ctx.fleet.credentials.values()) {
      if (c.stopped || bare(c.number) === '') continue;
      good.set(bare(c.number), [...(good.get(bare(c.number)) ?? []), c.id]);
    }
    for (const c of ctx.fleet.credentials.values()) {
      if (!c.stopped) continue;
      const others = (good.get(bare(c.number)) ?? []).filter(
        (id) => ctx.fleet.credentials.get(id)?.number !== c.number,
      );
      const [first] = others;
      if (first === undefined) continue;
      yield {
        on: [at('credentials', c.id), ...others.map((id) => at('credentials', id))],
        text: `${ctx.called('credentials', c.id)} is stopped, and ${ctx.called('credentials', first)} is not.`,
      };
    }
  },
};
