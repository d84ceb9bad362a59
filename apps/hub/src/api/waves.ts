import { err, ok } from '@fillwright/core/errors';
import { rollouts, steer } from '../release/waves.ts';
import type { HandlersOf } from './route.ts';

export const waveHandlers: HandlersOf<'rollouts' | 'steerRollout'> = {
  rollouts: async ({ app, who }) => ok(await app.db.as(who.fleet, (tx) => rollouts(tx, who.fleet))),

  steerRollout: async ({ app, who, params, body }) => {
    const told = await app.db.as(who.fleet, (tx) =>
      steer(tx, who.fleet, params.number, body.deed, who.name, app.now()),
    );
    if (!told.ok) return err([told.error]);
    app.tell(who.fleet, { kind: 'rollout' });
    for (const site of told.value) {
      await app.link.sendWanted(who.fleet, site);
      app.tell(who.fleet, { kind: 'site', site });
    }
    return ok(await app.db.as(who.fleet, (tx) => rollouts(tx, who.fleet)));
  },
};
