import { err, ok, problem } from '@fillwright/core/errors';
import { mappingSchema, readIntake, template, toWorkbook } from '@fillwright/intake';
import type { App } from '../app.ts';
import { fleetOf } from '../draft/which.ts';
import { importOf, mappingFor, stagedReply } from '../imports/read.ts';
import { dropWaiting, putAside, takeUp, type Waiting } from '../imports/shelf.ts';
import { changed } from './draft.ts';
import type { HandlersOf } from './route.ts';

const draftFleet = async (app: App, fleet: string) =>
  (await app.db.as(fleet, (tx) => app.drafts.current(tx, fleet))).fleet;

export const importHandlers: HandlersOf<'stageImport' | 'mapImport' | 'applyImport' | 'exportBook' | 'template'> = {
  stageImport: async ({ app, who, query, body }) => {
    if (!Buffer.isBuffer(body))
      return err([problem('FW-501', { expected: 'the file as the body, of type application/octet-stream' })]);
    const raw = await readIntake(body, query.name);
    if (!raw.ok) return err([raw.error]);
    const base = await draftFleet(app, who.fleet);
    const waiting: Waiting = {
      id: app.randomId(),
      name: query.name,
      raw: raw.value,
      mapping: mappingFor(raw.value, base),
    };
    await app.db.as(who.fleet, (tx) => putAside(tx, who.fleet, waiting, app.now()));
    return ok(stagedReply(waiting, base));
  },

  mapImport: async ({ app, who, params, body }) => {
    const waiting = await app.db.as(who.fleet, (tx) => takeUp(tx, who.fleet, params.id, app.now()));
    if ('code' in waiting) return err([waiting]);
    const mapping = mappingSchema.safeParse(body.mapping);
    if (!mapping.success)
      return err(
        mapping.error.issues.map((i) =>
          problem('FW-501', { at: { in: 'mapping', field: i.path.join('.') }, expected: i.message }),
        ),
      );
    const kept = { ...waiting, mapping: mapping.data };
    await app.db.as(who.fleet, (tx) => putAside(tx, who.fleet, kept, app.now()));
    return ok(stagedReply(kept, await draftFleet(app, who.fleet)));
  },

  applyImport: async ({ app, who, params, body }) => {
    const waiting = await app.db.as(who.fleet, (tx) => takeUp(tx, who.fleet, params.id, app.now()));
    if ('code' in waiting) return err([waiting]);
    const draft = await app.db.as(who.fleet, (tx) => app.drafts.current(tx, who.fleet));
    if (body.version !== draft.version)
      return err([
        problem('FW-301', {
          cause: `The draft has moved on to version ${draft.version}.`,
          mend: 'Look at what the import would change now, then apply it.',
        }),
      ]);
    const { edits } = importOf(waiting, draft.fleet);
    const { version } = body;
    const proposal = { version, edits, by: who.name, note: waiting.name, kind: 'import' as const };
    const made = await app.drafts.edit(who.fleet, proposal, async (tx) => {
      await dropWaiting(tx, who.fleet, waiting.id);
    });
    return changed(app, who, made);
  },

  exportBook: async ({ app, who, query, fileName }) => {
    const fleet = await fleetOf(app, who.fleet, query.which);
    if (!fleet.ok) return fleet;
    fileName(`fleet-${query.which}.xlsx`);
    return ok(await toWorkbook(fleet.value));
  },

  template: async ({ app, who, fileName }) => {
    const { settings } = await draftFleet(app, who.fleet);
    fileName('intake.xlsx');
    return ok(await template(settings));
  },
};
