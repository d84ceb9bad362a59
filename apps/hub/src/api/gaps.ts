import { err, ok } from '@fillwright/core/errors';
import { gapsOf, passGap } from '../ledger/gaps.ts';
import type { HandlersOf } from './route.ts';

export const gapHandlers: HandlersOf<'gaps' | 'passGap'> = {
  gaps: async ({ app, who }) => ok(await app.db.as(who.fleet, (tx) => gapsOf(tx, who.fleet))),

  passGap: async ({ app, who, params, body }) => {
    const said = { ...body, site: params.site, by: who.name };
    const passed = await app.db.as(who.fleet, (tx) => passGap(tx, who.fleet, said, app.now()));
    if (!passed.ok) return err([passed.error]);
    app.link.sayStored(who.fleet, params.site, passed.value);
    app.tell(who.fleet, { kind: 'site', site: params.site });
    return ok({});
  },
};
