import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import { emptyFleet, type Fleet } from '@fillwright/core/fleet';
import { formatDate } from '@fillwright/core/units';
import type { App } from '../app.ts';
import { standsOf } from '../release/stands.ts';
import { siteStatuses } from '../sites/status.ts';
import type { HandlersOf } from './route.ts';

const DAY_MS = 86_400_000;
const DAYS = 365;

/** A fleet that reach is asked of: a name that changes with its content, and the way to it. */
interface Asked {
  readonly name: string;
  readonly fleet: () => Promise<Fleet>;
}

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

export const compareHandlers: HandlersOf<'reach' | 'difference' | 'expectations' | 'releaseStands'> = {
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
    const answer = await app.reach.ask<'difference'>(
      `difference ${who.fleet} ${before.value.name} ${after.value.name} ${today}`,
      async () => ({ kind: 'difference', today, before: await before.value.fleet(), after: await after.value.fleet() }),
      { signal, say },
    );
    if (!answer.ok) return answer;
    const groups = answer.value.groups.filter((g) => query.kind === undefined || g.kind === query.kind);
    const { before: from, after: to, kind } = query;
    const { counts } = answer.value;
    const total = kind === undefined ? Object.values(counts).reduce((a, b) => a + b, 0) : counts[kind];
    return ok({ ...answer.value, before: from, after: to, total, groups: pageOf(groups, query) });
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
