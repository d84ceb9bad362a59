import { err } from '@fillwright/core/errors';
import { stickFor, takeStick } from '../sites/stick.ts';
import type { HandlersOf } from './route.ts';

export const stickHandlers: HandlersOf<'stickFor' | 'takeStick'> = {
  stickFor: async ({ app, who, params }) => {
    const made = await stickFor(app, who.fleet, params.site);
    return made.ok ? made : err([made.error]);
  },

  takeStick: async ({ app, who, body }) => {
    const taken = await takeStick(app, who.fleet, body);
    if (!taken.ok) return err([taken.error]);
    app.tell(who.fleet, { kind: 'site', site: taken.value.site });
    return taken;
  },
};
