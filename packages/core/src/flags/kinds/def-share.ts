import { type FlagFill, type FlagKind, PRACTICE } from '../flag.ts';

const SPAN_MS = 30 * 86_400_000;
/** DEF is 2 to 3 % of diesel; far outside, 1 to 6 % over a month, is worth a look (trade press on a letter of the US EPA; common practice). */
const USUAL = { least: 0.01, most: 0.06 };
/** DEF is drawn in few, large gulps: one more or less must not decide. */
const GULPS = 4;

export const defShare: FlagKind = {
  code: 'G09',
  title: 'DEF that does not fit the diesel',
  reason:
    'An engine with catalytic reduction takes DEF as 2 to 3 % of its diesel. Far less may mean a defeated system, far more a leak or theft.',
  next: 'Have the workshop read the emission system, and look at who drew DEF.',
  source: PRACTICE,
  *find({ byVehicle, fleet, called, since }) {
    const kind = (f: FlagFill) => fleet.products.get(f.product)?.kind;
    for (const [id, all] of byVehicle) {
      const def = all.filter((f) => kind(f) === 'def');
      const diesel = all.filter((f) => kind(f) === 'diesel' || kind(f) === 'dyed');
      const last = all.at(-1);
      if (def.length === 0 || diesel.length === 0 || !last) continue;
      for (let to = last.to; to > since; to -= SPAN_MS) {
        const within = (f: FlagFill) => f.from > to - SPAN_MS && f.from <= to;
        // Nothing is known before the first fill, so a month must lie behind it.
        if ((all[0] as FlagFill).from > to - SPAN_MS) break;
        const dieselUl = sum(diesel.filter(within));
        const defUl = sum(def.filter(within));
        const gulp = Math.max(...def.map((f) => f.volume));
        const part = defUl / dieselUl;
        const tooMuch = defUl > USUAL.most * dieselUl + gulp && defUl > GULPS * gulp;
        const tooLittle = defUl < USUAL.least * dieselUl - gulp;
        if (dieselUl === 0 || !(tooMuch || tooLittle)) continue;
        yield {
          at: to,
          on: [{ table: 'vehicles', id }],
          text: `${called('vehicles', id)} took DEF as ${(part * 100).toFixed(1)} % of its diesel over 30 days; 2 to 3 % is usual.`,
          evidence: { def: defUl, diesel: dieselUl, percent: Math.round(part * 1000) / 10 },
        };
      }
    }
  },
};

const sum = (fills: readonly FlagFill[]) => fills.reduce((total, f) => total + f.volume, 0);
