import { err, ok, ProblemError, problem } from '@fillwright/core/errors';
import { mappingSchema, readIntake, template, toWorkbook } from '@fillwright/intake';
import type { Staged } from '@fillwright/wire';
import type { App } from '../app.ts';
import { fleetOf } from '../draft/which.ts';
import type { Look } from '../imports/question.ts';
import { dropWaiting, putAside, takeUp, type Waiting } from '../imports/shelf.ts';
import { changed } from './draft.ts';
import type { Asked, HandlersOf } from './route.ts';

const draftFleet = async (app: App, fleet: string) =>
  (await app.db.as(fleet, (tx) => app.drafts.current(tx, fleet))).fleet;

/** Puts a file aside as it was looked at, only then: a file whose reading was stopped waits for nobody, or as it was read before. */
async function asideFor(
  { app, who, signal }: Pick<Asked<'stageImport'>, 'app' | 'who' | 'signal'>,
  { id, name, raw }: Omit<Waiting, 'mapping'>,
  look: Look,
): Promise<Staged> {
  await app.db.as(who.fleet, async (tx) => {
    await putAside(tx, who.fleet, { id, name, raw, mapping: look.mapping }, app.now());
    if (signal.aborted) throw new ProblemError(problem('FW-322'));
  });
  return { id, name, ...look };
}

export const importHandlers: HandlersOf<'stageImport' | 'mapImport' | 'applyImport' | 'exportBook' | 'template'> = {
  stageImport: async ({ app, who, query, body, signal, say }) => {
    if (!Buffer.isBuffer(body))
      return err([problem('FW-501', { expected: 'the file as the body, of type application/octet-stream' })]);
    const raw = await readIntake(body, query.name, { signal });
    if (!raw.ok) return err([raw.error]);
    const file = { id: app.randomId(), name: query.name, raw: JSON.stringify(raw.value) };
    const look = await app.imports.ask<'stage'>(
      file.id,
      async () => ({ kind: 'stage', raw: file.raw, base: await draftFleet(app, who.fleet) }),
      { signal, say },
    );
    return look.ok ? ok(await asideFor({ app, who, signal }, file, look.value)) : look;
  },

  mapImport: async ({ app, who, params, body, signal, say }) => {
    const waiting = await app.db.as(who.fleet, (tx) => takeUp(tx, who.fleet, params.id, app.now()));
    if ('code' in waiting) return err([waiting]);
    const mapping = mappingSchema.safeParse(body.mapping);
    if (!mapping.success)
      return err(
        mapping.error.issues.map((i) =>
          problem('FW-501', { at: { in: 'mapping', field: i.path.join('.') }, expected: i.message }),
        ),
      );
    const look = await app.imports.ask<'map'>(
      waiting.id,
      async () => ({
        ...{ kind: 'map', raw: waiting.raw, mapping: mapping.data },
        base: await draftFleet(app, who.fleet),
      }),
      { signal, say },
    );
    return look.ok ? ok(await asideFor({ app, who, signal }, waiting, look.value)) : look;
  },

  applyImport: async ({ app, who, params, body, say }) => {
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
    // Whoever takes it in may leave: it is taken all the same.
    const edits = await app.imports.ask<'take'>(
      waiting.id,
      async () => ({ kind: 'take', raw: waiting.raw, mapping: waiting.mapping, base: draft.fleet }),
      { say },
    );
    if (!edits.ok) return edits;
    const { version } = body;
    const proposal = { version, edits: edits.value, by: who.name, note: waiting.name, kind: 'import' as const };
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
