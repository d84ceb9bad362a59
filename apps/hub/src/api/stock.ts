import { err, ok, problem } from '@fillwright/core/errors';
import { addMove } from '../ledger/tank-book.ts';
import { stockAsked } from '../stock/asked.ts';
import { tankMark } from '../stock/rows.ts';
import type { HandlersOf } from './route.ts';

const DAY_MS = 86_400_000;
/** With nothing new in the ledger an answer stands for so long. */
const KEPT_MS = 3_600_000;

export const stockHandlers: HandlersOf<'tankStock' | 'tankVerdicts' | 'addDelivery'> = {
  tankVerdicts: async ({ app, who }) => ok(await app.tanks.verdicts(who.fleet)),

  tankStock: async ({ app, who, params, query }) => {
    const now = app.now();
    const to = now - (now % KEPT_MS);
    const from = to - query.days * DAY_MS;
    const known = await app.db.as(who.fleet, async (tx) => {
      const { fleet, version } = await app.drafts.current(tx, who.fleet);
      return { fleet, version, mark: await tankMark(tx, who.fleet, params.tank) };
    });
    const { fleet, version, mark } = known;
    const tank = fleet.tanks.get(params.tank);
    if (!tank) return err([problem('FW-204', { at: { in: 'tanks', row: params.tank } })]);
    const key = ['stock', who.fleet, version, tank.id, mark, from, to, query.leadDays].join(' ');
    const span = { from, to: now, leadDays: query.leadDays };
    // Who goes away leaves the answer to the next: ending the thread would cost more than its second of work.
    return app.figures.ask<'stock'>(key, async () => ({
      kind: 'stock',
      ...(await stockAsked(app.db, who.fleet, fleet, tank, span)),
    }));
  },

  addDelivery: async ({ app, who, params, body }) => {
    const wrong = (field: string, expected: string) => err([problem('FW-201', { at: { field }, expected })]);
    if (body.at > app.now() + DAY_MS) return wrong('at', 'a moment that is not in the future');
    const parts = body.compartments.reduce((sum, v) => sum + v, 0);
    if (body.compartments.length > 0 && parts !== body.gross)
      return wrong('compartments', 'compartments that add up to the gross volume');
    // Net and gross differ by temperature alone: 50 K move petrol by 6 %.
    if (body.net !== null && Math.abs(body.net / body.gross - 1) > 0.1)
      return wrong('net', 'a net volume within a tenth of the gross');
    const move = await app.db.as(who.fleet, async (tx) => {
      const draft = await app.drafts.current(tx, who.fleet);
      if (!draft.fleet.tanks.has(params.tank)) return undefined;
      const id = app.randomId();
      const added = await addMove(tx, who.fleet, {
        id,
        tank: params.tank,
        kind: 'delivery',
        volume: body.gross,
        at: body.at,
        by: who.name,
        note: body.document,
      });
      await tx.rows(
        'insert into bill (fleet, move, document, gross, net, temp_c, compartments) values ($1, $2, $3, $4, $5, $6, $7)',
        [who.fleet, id, body.document, body.gross, body.net, body.tempC, JSON.stringify(body.compartments)],
      );
      return added;
    });
    if (!move) return err([problem('FW-204', { at: { in: 'tanks', row: params.tank } })]);
    app.tell(who.fleet, { kind: 'tank', tank: params.tank });
    return ok(move);
  },
};
