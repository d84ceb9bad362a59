import { err, ok, problem } from '@fillwright/core/errors';
import { contentOfSite, type StateMessage } from '@fillwright/wire';
import { joinBox, makeJoinCode } from '../sites/join.ts';
import { siteStatuses } from '../sites/status.ts';
import { driversWithPin, joinedSites, setPin } from '../urgent/pins.ts';
import { listStops, stopCredential } from '../urgent/stops.ts';
import { changed } from './draft.ts';
import type { HandlersOf } from './route.ts';

export const siteHandlers: HandlersOf<
  'sites' | 'joinCode' | 'join' | 'stopCredential' | 'stops' | 'setPin' | 'pinsSet' | 'running'
> = {
  sites: async ({ app, who }) =>
    ok(
      await app.db.as(who.fleet, async (tx) =>
        siteStatuses(tx, who.fleet, (await app.drafts.current(tx, who.fleet)).fleet),
      ),
    ),

  joinCode: async ({ app, who, params }) => {
    const made = await makeJoinCode(app, who.fleet, params.site);
    return made.ok ? made : err([made.error]);
  },

  join: async ({ app, body }) => {
    const joined = await joinBox(app, body);
    if (!joined.ok) return err([joined.error]);
    app.tell(joined.value.fleet, { kind: 'site', site: joined.value.site });
    return joined;
  },

  stopCredential: async ({ app, who, params, body }) => {
    const stopped = await stopCredential(app, who.fleet, { credential: params.id, reason: body.reason, by: who.name });
    if (!stopped.ok) return stopped;
    const { id, edited, orders } = stopped.value;
    // The orders first: whatever else there is to tell may wait.
    for (const { site, text } of orders) app.link.sayStop(who.fleet, site, text);
    changed(app, who, ok(edited));
    app.tell(who.fleet, { kind: 'stop', id });
    const [stop] = await app.db.as(who.fleet, (tx) => listStops(tx, who.fleet, edited.draft.fleet, id));
    return stop ? ok(stop) : err([problem('FW-505')]);
  },

  stops: async ({ app, who }) =>
    ok(
      await app.db.as(who.fleet, async (tx) =>
        listStops(tx, who.fleet, (await app.drafts.current(tx, who.fleet)).fleet),
      ),
    ),

  setPin: async ({ app, who, params, body }) => {
    const set = await setPin(app, who.fleet, params.id, body.pin);
    if (!set.ok) return err([set.error]);
    const sites = await app.db.as(who.fleet, (tx) => joinedSites(tx, who.fleet));
    await Promise.all(sites.map((site) => app.link.sendPins(who.fleet, site)));
    return ok({});
  },

  pinsSet: async ({ app, who }) => ok(await app.db.as(who.fleet, (tx) => driversWithPin(tx, who.fleet))),

  running: async ({ app, who, params }) => {
    const { site } = params;
    const found = await app.db.as(who.fleet, async (tx) => {
      const row = await tx.row<{ said: StateMessage | null }>(
        'select said from site_state where fleet = $1 and site = $2',
        [who.fleet, site],
      );
      const running = row?.said?.running ?? 0;
      return { running, content: running > 0 ? await app.released.fleet(tx, who.fleet, running) : undefined };
    });
    if (!found.content)
      return err([
        problem('FW-308', {
          cause: 'The site has not said that it runs a release.',
          mend: 'Release, and wait until the site has taken it.',
          at: { in: 'sites', row: site },
        }),
      ]);
    return ok({ which: String(found.running), fleet: contentOfSite(found.content, site) });
  },
};
