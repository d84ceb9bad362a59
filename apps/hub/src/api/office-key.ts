import { err, ok } from '@fillwright/core/errors';
import { handOver, officeKey } from '../office/handover.ts';
import type { HandlersOf } from './route.ts';

export const officeKeyHandlers: HandlersOf<'officeKey' | 'handOverKey'> = {
  officeKey: async ({ app, who }) => ok(await officeKey(app, who.fleet)),

  handOverKey: async ({ app, who, body }) => {
    const done = await handOver(app, who.fleet, body.until);
    return done.ok ? done : err([done.error]);
  },
};
