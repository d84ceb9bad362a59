import { ok, type Problem, type Result } from '@fillwright/core/errors';
import { toJson } from '@fillwright/core/fleet';
import type { Change, DraftChanged, Me, PastChange } from '@fillwright/wire';
import type { App } from '../app.ts';
import type { Edited } from '../draft/drafts.ts';
import { fleetOf } from '../draft/which.ts';
import type { HandlersOf } from './route.ts';

const LINE = 'version, at, by, kind, note';
const CHANGE = `${LINE}, edits`;
const FIRST = 5;

/** Tells the desks of a change and gives the reply to whoever made it. */
export function changed(app: App, who: Me, made: Result<Edited, Problem[]>): Result<DraftChanged, Problem[]> {
  if (!made.ok) return made;
  app.tell(who.fleet, { kind: 'draft', version: made.value.draft.version, by: who.name });
  return ok(made.value.reply);
}

export const draftHandlers: HandlersOf<'draft' | 'editDraft' | 'undo' | 'redo' | 'draftSince' | 'history' | 'fleet'> = {
  draft: async ({ app, who }) => {
    const draft = await app.db.as(who.fleet, (tx) => app.drafts.current(tx, who.fleet));
    return ok({
      version: draft.version,
      base: draft.base,
      canUndo: draft.steps.undo.length > 0,
      canRedo: draft.steps.redo.length > 0,
      fleet: toJson(draft.fleet),
    });
  },

  editDraft: async ({ app, who, body }) =>
    changed(
      app,
      who,
      await app.drafts.edit(who.fleet, {
        version: body.version,
        edits: body.edits,
        by: who.name,
        note: body.note ?? '',
        kind: 'edit',
      }),
    ),

  undo: async ({ app, who, body }) => changed(app, who, await app.drafts.undo(who.fleet, body.version, who.name)),
  redo: async ({ app, who, body }) => changed(app, who, await app.drafts.redo(who.fleet, body.version, who.name)),

  draftSince: async ({ app, who, query }) =>
    ok(
      await app.db.as(who.fleet, (tx) =>
        tx.rows<Change>(`select ${CHANGE} from change where fleet = $1 and version > $2 order by version`, [
          who.fleet,
          query.version,
        ]),
      ),
    ),

  history: async ({ app, who, query }) =>
    ok(
      await app.db.as(who.fleet, (tx) =>
        tx.rows<PastChange>(
          `select ${LINE}, jsonb_path_query_array(edits, '$[0 to ${FIRST - 1}]') as first, jsonb_array_length(edits) as count
           from change where fleet = $1 and ($2::int is null or version < $2) order by version desc limit $3`,
          [who.fleet, query.before ?? null, query.limit],
        ),
      ),
    ),

  fleet: async ({ app, who, query }) => {
    const fleet = await fleetOf(app, who.fleet, query.which);
    return fleet.ok ? ok({ which: query.which, fleet: toJson(fleet.value) }) : fleet;
  },
};
