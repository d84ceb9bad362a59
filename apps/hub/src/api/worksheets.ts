import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import { worksheetPaper } from '@fillwright/paper';
import { zoneOrUtc } from '../ledger/zones.ts';
import { paperPdf } from '../papers/pdf.ts';
import { momentWords } from '../proving/words.ts';
import {
  addPhoto,
  addResults,
  makeWorksheet,
  photoOf,
  signWorksheet,
  wholeWorksheet,
  worksheetHeads,
} from '../worksheets/worksheets.ts';
import type { HandlersOf } from './route.ts';

const DAY_MS = 86_400_000;
const list = <T>(r: Result<T, Problem>): Result<T, Problem[]> => (r.ok ? r : err([r.error]));

export const worksheetHandlers: HandlersOf<
  | 'worksheets'
  | 'makeWorksheet'
  | 'worksheet'
  | 'addResults'
  | 'addPhoto'
  | 'worksheetPhoto'
  | 'signWorksheet'
  | 'worksheetPaper'
> = {
  worksheets: async ({ app, who, query }) =>
    ok(await app.db.as(who.fleet, (tx) => worksheetHeads(tx, who.fleet, query.site))),

  makeWorksheet: async ({ app, who, body }) => {
    const now = app.now();
    const made = { id: app.randomId(), site: body.site, at: body.at ?? now, now, by: who.name };
    return list(await app.db.as(who.fleet, (tx) => makeWorksheet(tx, app.released, who.fleet, made)));
  },

  worksheet: async ({ app, who, params }) =>
    list(await app.db.as(who.fleet, (tx) => wholeWorksheet(tx, who.fleet, params.id))),

  addResults: async ({ app, who, params, body }) => {
    if (body.results.some((r) => r.at > app.now() + DAY_MS))
      return err([problem('FW-201', { at: { field: 'at' }, expected: 'a moment that is not in the future' })]);
    return list(await app.db.as(who.fleet, (tx) => addResults(tx, who.fleet, params.id, who.name, body.results)));
  },

  addPhoto: async ({ app, who, params, body }) => {
    const { data, ...rest } = body;
    const photo = { ...rest, bytes: Buffer.from(data, 'base64') };
    return list(await app.db.as(who.fleet, (tx) => addPhoto(tx, who.fleet, params.id, who.name, photo)));
  },

  worksheetPhoto: async ({ app, who, params }) =>
    list(await app.db.as(who.fleet, (tx) => photoOf(tx, who.fleet, params.id, params.photo))),

  signWorksheet: async ({ app, who, params, body }) =>
    list(await app.db.as(who.fleet, (tx) => signWorksheet(tx, who.fleet, params.id, { ...body, by: who.name }))),

  worksheetPaper: async ({ app, who, params, fileName, signal, say }) => {
    const got = await app.db.as(who.fleet, async (tx) => {
      const whole = await wholeWorksheet(tx, who.fleet, params.id);
      if (!whole.ok) return whole;
      const fleet = await app.released.fleet(tx, who.fleet, whole.value.release);
      return fleet ? ok({ whole: whole.value, fleet }) : err(problem('FW-308'));
    });
    if (!got.ok) return err([got.error]);
    const { whole, fleet } = got.value;
    fileName(`worksheet-${whole.site}-${whole.release}.pdf`);
    const zone = zoneOrUtc(fleet.sites.get(whole.site)?.zone);
    return paperPdf(
      app,
      worksheetPaper(fleet, whole, (at) => momentWords(zone, at)),
      { signal, say },
    );
  },
};
