import { at, type Check, DATA } from '../check.ts';

export const pinWithoutDriver: Check = {
  code: 'F231',
  severity: 'warning',
  title: 'A site asks for PINs but identifies vehicles only',
  reason: 'A PIN belongs to a driver; who presents only the vehicle’s credential is never asked for one.',
  mend: 'Identify the driver too, or leave the PIN off.',
  source: DATA,
  *find(ctx) {
    for (const site of ctx.fleet.sites.values())
      if (site.pin && site.identify === 'vehicle')
        yield {
          on: [at('sites', site.id, 'pin')],
          text: `${ctx.called('sites', site.id)} asks for PINs and identifies the vehicle only.`,
        };
  },
};
