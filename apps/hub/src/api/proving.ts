import { err, ok, problem } from '@fillwright/core/errors';
import { judgeRun } from '@fillwright/core/metering';
import { provingPaper } from '@fillwright/paper';
import { addMove } from '../ledger/tank-book.ts';
import { zoneOrUtc } from '../ledger/zones.ts';
import { accountsInTurn, correctTaken } from '../money/no-sale.ts';
import { paperPdf } from '../papers/pdf.ts';
import { addProving, provings } from '../proving/provings.ts';
import { momentWords } from '../proving/words.ts';
import type { HandlersOf } from './route.ts';

const DAY_MS = 86_400_000;

export const provingHandlers: HandlersOf<'provings' | 'addProving' | 'provingPaper'> = {
  provings: async ({ app, who, query }) =>
    ok(await app.db.as(who.fleet, (tx) => provings(tx, who.fleet, { hose: query.hose, limit: query.limit }))),

  addProving: async ({ app, who, body }) => {
    if (body.at > app.now() + DAY_MS)
      return err([problem('FW-201', { at: { field: 'at' }, expected: 'a moment that is not in the future' })]);
    const judged = judgeRun(body.run);
    if (!judged.ok) return err([judged.error]);
    const done = await app.db.as(who.fleet, async (tx) => {
      const { fleet } = await app.drafts.current(tx, who.fleet);
      const hose = fleet.hoses.get(body.hose);
      if (!hose) return err([problem('FW-204', { at: { in: 'hoses', row: body.hose } })]);
      const tank = body.back && fleet.tanks.get(body.back.tank);
      if (body.back && !tank) return err([problem('FW-204', { at: { in: 'tanks', row: body.back.tank } })]);
      if (tank && (tank.site !== hose.site || tank.product !== hose.product))
        return err([
          problem('FW-755', { at: { in: 'tanks', row: tank.id }, expected: hose.product, found: tank.product }),
        ]);
      if (body.fills.length > 0) await accountsInTurn(tx, who.fleet);
      const known = await tx.rows<{ id: string; hose: string; proving: string | null }>(
        'select id, hose, proving from fill where fleet = $1 and id = any($2)',
        [who.fleet, body.fills],
      );
      for (const id of body.fills) {
        const fill = known.find((f) => f.id === id);
        if (!fill) return err([problem('FW-204', { at: { in: 'fills', row: id } })]);
        if (fill.hose !== hose.id || fill.proving !== null)
          return err([problem('FW-756', { at: { in: 'fills', row: id }, expected: hose.id, found: fill.hose })]);
      }
      const id = app.randomId();
      const move = body.back ? app.randomId() : null;
      const row = {
        id,
        site: hose.site,
        hose: hose.id,
        at: body.at,
        by: who.name,
        run: body.run,
        judged: judged.value,
        note: body.note,
        tank: body.back?.tank ?? null,
        returned: body.back?.volume ?? null,
        fills: [...body.fills],
      };
      await addProving(tx, who.fleet, row, move);
      const reason = `drawn for a proving run of hose ${hose.number}`;
      await correctTaken(tx, who.fleet, body.fills, { reason, by: who.name, at: app.now() });
      if (body.back && move !== null)
        await addMove(tx, who.fleet, {
          id: move,
          tank: body.back.tank,
          kind: 'proving',
          volume: body.back.volume,
          at: body.at,
          by: who.name,
          note: `test fuel of hose ${hose.number} put back: no sale`,
        });
      const [kept] = await provings(tx, who.fleet, { id, limit: 1 });
      return kept ? ok(kept) : err([problem('FW-204', { at: { in: 'provings', row: id } })]);
    });
    if (done.ok && done.value.tank !== null) app.tell(who.fleet, { kind: 'tank', tank: done.value.tank });
    if (done.ok && body.fills.length > 0) app.tell(who.fleet, { kind: 'money' });
    return done;
  },

  provingPaper: async ({ app, who, params, fileName, signal, say }) => {
    const got = await app.db.as(who.fleet, async (tx) => {
      const [one] = await provings(tx, who.fleet, { id: params.id, limit: 1 });
      return one && { one, fleet: (await app.drafts.current(tx, who.fleet)).fleet };
    });
    if (!got) return err([problem('FW-204', { at: { in: 'provings', row: params.id } })]);
    const { one, fleet } = got;
    fileName(`proving-${one.hose}-${one.run.date}.pdf`);
    const zone = zoneOrUtc(fleet.sites.get(one.site)?.zone);
    return paperPdf(app, provingPaper(fleet, one, momentWords(zone, one.at)), { signal, say });
  },
};
