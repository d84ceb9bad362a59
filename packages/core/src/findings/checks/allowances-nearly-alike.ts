import type { Allowance } from '../../fleet/index.ts';
import { canonical } from '../../fleet/index.ts';
import { at, type Check, DATA } from '../check.ts';
import { alike } from '../context.ts';

const FIELDS = [
  'products',
  'perFill',
  'perDay',
  'perWeek',
  'perMonth',
  'fillsPerDay',
  'times',
  'sites',
  'cutOff',
] as const;
type Field = (typeof FIELDS)[number];
const WORDS: Record<Field, string> = {
  products: 'products',
  perFill: 'most per fill',
  perDay: 'most per day',
  perWeek: 'most per week',
  perMonth: 'most per month',
  fillsPerDay: 'fills per day',
  times: 'times',
  sites: 'sites',
  cutOff: 'clause for being cut off',
};

const said = (a: Allowance, field: Field): unknown => {
  if (field === 'cutOff') return a.cutOff === 'share' ? `share ${a.share}` : a.cutOff;
  const value = a[field];
  return Array.isArray(value) && field !== 'times' ? [...(value as readonly string[])].sort() : value;
};

/** Two that differ by more than a tenth are taken to differ on purpose. */
const near = (a: Allowance, b: Allowance, field: Field): boolean => {
  const x = a[field];
  const y = b[field];
  if (typeof x !== 'number' || typeof y !== 'number') return false;
  return Math.abs(x - y) * 10 <= Math.max(x, y);
};

export const allowancesNearlyAlike: Check = {
  code: 'F246',
  severity: 'note',
  title: 'Two allowances that could be one',
  reason:
    'They say the same but for one figure, and that by less than a tenth. Often one of them was typed anew where it could have been given again.',
  mend: 'Keep one and give it to both, unless the difference is meant.',
  source: DATA,
  *find(ctx) {
    for (const field of FIELDS) {
      const others = FIELDS.filter((f) => f !== field);
      const rest = (a: Allowance) => canonical(others.map((f) => said(a, f)));
      for (const group of alike(ctx.fleet.allowances.values(), rest)) {
        const sorted = group.toSorted((a, b) => Number(a[field]) - Number(b[field]) || (a.id < b.id ? -1 : 1));
        for (const [i, b] of sorted.entries()) {
          const a = sorted[i - 1];
          if (!a || a[field] === b[field] || !near(a, b, field)) continue;
          yield {
            on: [at('allowances', a.id, field), at('allowances', b.id, field)],
            text: `${ctx.called('allowances', a.id)} and ${ctx.called('allowances', b.id)} differ in ${WORDS[field]} only.`,
          };
        }
      }
    }
  },
};
