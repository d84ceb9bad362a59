import { at, type Check } from '../check.ts';

export const dyedDieselNotice: Check = {
  code: 'F130',
  severity: 'note',
  title: 'A hose gives dyed diesel',
  reason:
    'A notice at the pump must say “dyed diesel fuel, nontaxable use only, penalty for taxable use”; a seller without it is taken to know of a taxable use.',
  mend: 'Post the notice, and see that no road vehicle holds an allowance for it.',
  source: '26 CFR 48.4082-2; 26 USC 6715; United States only',
  *find(ctx) {
    for (const hose of ctx.liveHoses)
      if (ctx.fleet.products.get(hose.product)?.kind === 'dyed')
        yield { on: [at('hoses', hose.id, 'product')], text: `${ctx.called('hoses', hose.id)} gives dyed diesel.` };
  },
};
