import { err, ok } from '@fillwright/core/errors';
import type { Release } from '@fillwright/wire';
import { makeRelease, preview, RELEASE_COLUMNS } from '../release/release.ts';
import { standsOf } from '../release/stands.ts';
import type { HandlersOf } from './route.ts';

export const releaseHandlers: HandlersOf<'releases' | 'release' | 'releasePreview'> = {
  releases: async ({ app, who }) =>
    ok(
      await app.db.as(who.fleet, (tx) =>
        tx.rows<Release>(`select ${RELEASE_COLUMNS} from release where fleet = $1 order by number desc`, [who.fleet]),
      ),
    ),

  releasePreview: async ({ app, who }) => ok(await app.db.as(who.fleet, (tx) => preview(app, tx, who.fleet))),

  release: async ({ app, who, body, signal }) => {
    // Worked out before the draft is held, so that nobody waits for it.
    const stands = await standsOf(app, who.fleet, { signal });
    if (!stands.ok) return stands;
    const made = await makeRelease(app, who.fleet, { ...body, by: who.name, stands: stands.value });
    if (!made.ok) return err(made.error);
    const { release, sites } = made.value;
    app.tell(who.fleet, { kind: 'release', number: release.number });
    for (const site of sites) {
      await app.link.sendWanted(who.fleet, site);
      app.tell(who.fleet, { kind: 'site', site });
    }
    return ok(release);
  },
};
