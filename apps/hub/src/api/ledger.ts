import { err, ok, type Problem, problem } from '@fillwright/core/errors';
import type { Fleet } from '@fillwright/core/fleet';
import { reasonWords } from '@fillwright/core/island';
import type { Fill, FillDetail, Refusal, ReplyOf } from '@fillwright/wire';
import type { App } from '../app.ts';
import { fillsBook, fillsCsv } from '../ledger/export-fills.ts';
import { everyFill, type FillWish, fillById, fillPage } from '../ledger/read-fills.ts';
import { addMove, tankBooks, tankMoves } from '../ledger/tank-book.ts';
import type { HandlersOf } from './route.ts';

type SetAside = ReplyOf<'setAside'>[number];

const DAY_MS = 86_400_000;
/** As many rows as a worksheet holds, less its heading. */
const MOST_ROWS = 1_048_575;

async function taken(app: App, fleet: string, wish: FillWish): Promise<{ content: Fleet; fills: Fill[] } | Problem> {
  return app.db.as(fleet, async (tx) => {
    const { fleet: content } = await app.drafts.current(tx, fleet);
    const fills: Fill[] = [];
    for await (const fill of everyFill(tx, fleet, wish)) {
      if (fills.length >= MOST_ROWS)
        return problem('FW-506', { cause: 'More fills match than one file holds.', mend: 'Choose a shorter time.' });
      fills.push(fill);
    }
    return { content, fills };
  });
}

/** Why a session was refused, as a sentence. */
const wordsOf = (reason: string): string => {
  const words = reasonWords(reason, 'en');
  return `${words[0]?.toUpperCase() ?? ''}${words.slice(1)}.`;
};

const moveProblem = (kind: string, volume: number, at: number, now: number): Problem | undefined => {
  if (at > now + DAY_MS)
    return problem('FW-201', { at: { field: 'at' }, expected: 'a moment that is not in the future' });
  if (kind === 'delivery' && volume <= 0)
    return problem('FW-201', { at: { field: 'volume' }, expected: 'more than nothing' });
  if (kind === 'dip' && volume < 0) return problem('FW-201', { at: { field: 'volume' }, expected: 'nothing or more' });
  return undefined;
};

export const ledgerHandlers: HandlersOf<
  'fills' | 'fill' | 'fillsCsv' | 'fillsBook' | 'refusals' | 'setAside' | 'tankBooks' | 'tankMoves' | 'addTankMove'
> = {
  fills: async ({ app, who, query }) => ok(await app.db.as(who.fleet, (tx) => fillPage(tx, who.fleet, query))),

  fill: async ({ app, who, params }) => {
    const detail = await app.db.as(who.fleet, async (tx): Promise<FillDetail | undefined> => {
      const found = await fillById(tx, who.fleet, params.id);
      if (!found) return undefined;
      const entries = await tx.rows<FillDetail['entries'][number]>(
        'select seq, at, kind, hash, text from entry where fleet = $1 and fill = $2 order by seq limit 2000',
        [who.fleet, params.id],
      );
      return { fill: found.fill, ...found.rest, entries };
    });
    return detail ? ok(detail) : err([problem('FW-204', { at: { in: 'fills', row: params.id } })]);
  },

  fillsCsv: async ({ app, who, query, fileName }) => {
    const all = await taken(app, who.fleet, query);
    if (!('fills' in all)) return err([all]);
    fileName('fills.csv');
    return ok(fillsCsv(all.content, all.fills));
  },

  fillsBook: async ({ app, who, query, fileName }) => {
    const all = await taken(app, who.fleet, query);
    if (!('fills' in all)) return err([all]);
    fileName('fills.xlsx');
    return ok(await fillsBook(all.content, all.fills));
  },

  refusals: async ({ app, who, query }) => {
    const rows = await app.db.as(who.fleet, (tx) =>
      tx.rows<Omit<Refusal, 'words'>>(
        `select id, site, at, terminal, hose, by, driver, vehicle, revision, decision from refusal
         where fleet = $1 and ($2::text is null or site = $2) and ($3::text is null or driver = $3)
           and ($4::text is null or vehicle = $4) and ($5::bigint is null or at >= $5) and ($6::bigint is null or at <= $6)
         order by at desc, id desc limit $7`,
        [
          who.fleet,
          query.site ?? null,
          query.driver ?? null,
          query.vehicle ?? null,
          query.from ?? null,
          query.to ?? null,
          query.limit,
        ],
      ),
    );
    return ok(rows.map((r) => ({ ...r, words: wordsOf(r.by) })));
  },

  setAside: async ({ app, who }) =>
    ok(
      await app.db.as(who.fleet, (tx) =>
        tx.rows<SetAside>(
          `select site, epoch, seq, at, aside as why, text from entry where fleet = $1 and aside is not null
           order by at desc, seq desc limit 500`,
          [who.fleet],
        ),
      ),
    ),

  tankBooks: async ({ app, who }) =>
    ok(
      await app.db.as(who.fleet, async (tx) =>
        tankBooks(tx, who.fleet, (await app.drafts.current(tx, who.fleet)).fleet),
      ),
    ),

  tankMoves: async ({ app, who, params, query }) =>
    ok(await app.db.as(who.fleet, (tx) => tankMoves(tx, who.fleet, params.tank, query.limit))),

  addTankMove: async ({ app, who, params, body }) => {
    const wrong = moveProblem(body.kind, body.volume, body.at, app.now());
    if (wrong) return err([wrong]);
    const move = await app.db.as(who.fleet, async (tx) => {
      const draft = await app.drafts.current(tx, who.fleet);
      if (!draft.fleet.tanks.has(params.tank)) return undefined;
      return addMove(tx, who.fleet, { id: app.randomId(), tank: params.tank, by: who.name, ...body });
    });
    if (!move) return err([problem('FW-204', { at: { in: 'tanks', row: params.tank } })]);
    app.tell(who.fleet, { kind: 'tank', tank: params.tank });
    return ok(move);
  },
};
