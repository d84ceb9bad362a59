import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import { emptyFleet } from '@fillwright/core/fleet';
import { formatDate } from '@fillwright/core/units';
import type { DifferenceReply } from '@fillwright/wire';
import type { App } from '../app.ts';
import { type Asked, fleetsCompared, sitesCompared } from '../reach/compared.ts';
import type { Within } from '../reach/question.ts';
import { standsOf } from '../release/stands.ts';
import { siteStatuses } from '../sites/status.ts';
import type { HandlersOf } from './route.ts';

const DAY_MS = 86_400_000;
const DAYS = 365;

/** 'draft', the number of a release, or 'running:SITE'. */
async function askedFor(app: App, fleet: string, which: string): Promise<Result<Asked, Problem[]>> {
  return app.db.as(fleet, async (tx) => {
    if (which === 'draft') {
      const draft = await app.drafts.current(tx, fleet);
      return ok({ name: `draft:${draft.version}`, fleet: async () => draft.fleet });
    }
    let number = /^\d{1,9}$/.test(which) ? Number(which) : undefined;
    if (which.startsWith('running:')) {
      const site = which.slice('running:'.length);
      const draft = await app.drafts.current(tx, fleet);
      const status = (await siteStatuses(tx, fleet, draft.fleet)).find((s) => s.site === site);
      if (!status?.running) return err([problem('FW-336', { found: site })]);
      number = status.running;
    }
    const found =
      number === undefined
        ? undefined
        : await tx.row('select from release where fleet = $1 and number = $2', [fleet, number]);
    if (number === undefined || !found) return err([problem('FW-308', { found: which })]);
    const wanted = number;
    const read = () => app.db.as(fleet, (t) => app.released.fleet(t, fleet, wanted));
    return ok({
      name: String(wanted),
      fleet: async () => (await read()) ?? emptyFleet({ name: '-', units: 'us', currency: 'USD' }),
    });
  });
}

const pageOf = <T>(list: readonly T[], { offset, limit }: { offset: number; limit: number }): T[] =>
  list.slice(offset, offset + limit);

/** What of a difference is meant; null is all of it. */
function withinOf(query: { readonly [K in keyof Within]?: string | undefined }): Within | null {
  const { driver = null, vehicle = null, department = null, site = null, product = null } = query;
  const within = { driver, vehicle, department, site, product };
  return Object.values(within).every((id) => id === null) ? null : within;
}

type Kind = DifferenceReply['groups'][number]['kind'];

/** One page of the groups, of one kind or all. */
function paged(found: DifferenceReply, query: { kind?: Kind | undefined; offset: number; limit: number }) {
  const { counts } = found;
  const groups = found.groups.filter((g) => query.kind === undefined || g.kind === query.kind);
  const total = query.kind === undefined ? Object.values(counts).reduce((a, b) => a + b, 0) : counts[query.kind];
  return { ...found, total, groups: pageOf(groups, query) };
}

export const compareHandlers: HandlersOf<
  'reach' | 'reachWeek' | 'difference' | 'siteDifference' | 'expectations' | 'releaseStands'
> = {
  reach: async ({ app, who, query, signal, say }) => {
    const asked = await askedFor(app, who.fleet, query.which);
    if (!asked.ok) return asked;
    const today = Math.floor(app.now() / DAY_MS);
    const { site = null, driver = null, vehicle = null } = query;
    const answer = await app.reach.ask<'reach'>(
      `reach ${who.fleet} ${asked.value.name} ${today} ${JSON.stringify([site, driver, vehicle])}`,
      async () => ({ kind: 'reach', today, fleet: await asked.value.fleet(), site, driver, vehicle }),
      { signal, say },
    );
    if (!answer.ok) return answer;
    const days: [string, string] = [formatDate(today), formatDate(today + DAYS - 1)];
    return ok({ which: query.which, days, total: answer.value.length, rows: pageOf(answer.value, query) });
  },

  difference: async ({ app, who, query, signal, say }) => {
    const [before, after] = [await askedFor(app, who.fleet, query.before), await askedFor(app, who.fleet, query.after)];
    if (!before.ok) return before;
    if (!after.ok) return after;
    const today = Math.floor(app.now() / DAY_MS);
    const wish = { today, within: withinOf(query), week: query.week };
    const answer = await fleetsCompared(app, who.fleet, before.value, after.value, wish, { signal, say });
    if (!answer.ok) return answer;
    return ok({ ...paged(answer.value, query), before: query.before, after: query.after });
  },

  siteDifference: async ({ app, who, query, signal, say }) => {
    const asked = await askedFor(app, who.fleet, query.which);
    if (!asked.ok) return asked;
    const today = Math.floor(app.now() / DAY_MS);
    const { which, first, second, week } = query;
    const fleet = await asked.value.fleet();
    for (const site of [first, second])
      if (!fleet.sites.has(site)) return err([problem('FW-204', { at: { in: 'sites', row: site } })]);
    const wish = { today, within: withinOf({ ...query, site: undefined }), week };
    const answer = await sitesCompared(app, who.fleet, asked.value, [first, second], wish, { signal, say });
    return answer.ok ? ok({ ...paged(answer.value, query), which, first, second }) : answer;
  },

  reachWeek: async ({ app, who, query, signal, say }) => {
    const asked = await askedFor(app, who.fleet, query.which);
    if (!asked.ok) return asked;
    const today = Math.floor(app.now() / DAY_MS);
    const { driver = null, vehicle = null, department = null, hose = null, product = null } = query;
    const { withAnybody } = query;
    const place = { site: query.site ?? '', driver, vehicle, department, withAnybody };
    const fleet = await asked.value.fleet();
    const missing = (['site', 'driver', 'vehicle', 'hose', 'product'] as const).find((name) => {
      const id = query[name];
      return id !== undefined && !fleet[`${name}s`].has(id);
    });
    if (missing) return err([problem('FW-204', { at: { in: `${missing}s`, row: query[missing] ?? '' } })]);
    const answer = await app.reach.ask<'week'>(
      `week ${who.fleet} ${asked.value.name} ${today} ${JSON.stringify([place, hose, product])}`,
      async () => ({ kind: 'week', today, fleet, place, hose, product }),
      { signal, say },
    );
    return answer.ok ? ok({ which: query.which, ...answer.value }) : answer;
  },

  expectations: async ({ app, who, query, signal, say }) => {
    const asked = await askedFor(app, who.fleet, query.which);
    if (!asked.ok) return asked;
    const today = Math.floor(app.now() / DAY_MS);
    const answer = await app.reach.ask<'expectations'>(
      `expectations ${who.fleet} ${asked.value.name} ${today}`,
      async () => ({ kind: 'expectations', today, fleet: await asked.value.fleet() }),
      { signal, say },
    );
    return answer.ok ? ok({ which: query.which, expectations: [...answer.value] }) : answer;
  },

  releaseStands: async ({ app, who, signal, say }) => standsOf(app, who.fleet, { signal, say }),
};
