import { at, type Check, DATA } from '../check.ts';

export const credentialOfNobody: Check = {
  code: 'F208',
  severity: 'error',
  title: 'A credential belongs to nobody',
  reason: 'Whoever presents it is refused, because it names neither driver nor vehicle.',
  mend: 'Name its driver or its vehicle, or take it away.',
  source: DATA,
  *find(ctx) {
    for (const c of ctx.fleet.credentials.values())
      if (c.driver === null && c.vehicle === null)
        yield {
          on: [at('credentials', c.id)],
          text: `${ctx.called('credentials', c.id)} names neither driver nor vehicle.`,
        };
  },
};
