import {
  dyedPenalty,
  fuelByJurisdiction,
  groupsOf,
  noteOf,
  type StatementLine,
  type TakenBack,
  wholeSums,
} from '@fillwright/core/accounts';
import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import type { Fleet } from '@fillwright/core/fleet';
import {
  dateOfDay,
  dayOfDate,
  formatDate,
  formatMinute,
  localMoment,
  monthStart,
  parseDate,
} from '@fillwright/core/units';
import { accountPaper } from '@fillwright/paper';
import type { App } from '../app.ts';
import { zoneOrUtc } from '../ledger/zones.ts';
import { closePeriod, digestOf, todayOf } from '../money/close.ts';
import { fuelCsv, statementBook, statementCsv } from '../money/export-statement.ts';
import { type Drawn, drawn, type Period, periodsOf, taxesOf } from '../money/rows.ts';
import { paperPdf } from '../papers/pdf.ts';
import type { HandlersOf } from './route.ts';

const MOST_DAYS = 400;
const MOST_LINES = 200_000;
const MOST_ODD = 200;

type Span = { readonly from: number; readonly to: number };

function spanOf(asked: { from: string; to: string }): Result<Span> {
  const [from, to] = [parseDate(asked.from), parseDate(asked.to)];
  if (from === undefined || to === undefined || to < from || to - from >= MOST_DAYS)
    return err(problem('FW-743', { found: `${asked.from} to ${asked.to}` }));
  return ok({ from, to });
}

async function look(
  app: App,
  fleet: string,
  asked: { from: string; to: string },
): Promise<Result<{ content: Fleet; got: Drawn }, Problem[]>> {
  const span = spanOf(asked);
  if (!span.ok) return err([span.error]);
  return app.db.as(fleet, async (tx): Promise<Result<{ content: Fleet; got: Drawn }, Problem[]>> => {
    const { fleet: content } = await app.drafts.current(tx, fleet);
    const got = await drawn(tx, fleet, content, span.value.from, span.value.to);
    if (got.statement.lines.length > MOST_LINES)
      return err([problem('FW-744', { found: String(got.statement.lines.length), expected: String(MOST_LINES) })]);
    return ok({ content, got });
  });
}

const periodSaid = (p: Period) => ({ ...p, from: formatDate(p.from), to: formatDate(p.to) });

const oddLine = (unit: 'gal' | 'l', l: StatementLine) => ({
  fill: l.fill,
  date: l.date,
  site: l.site,
  vehicle: l.vehicle,
  product: l.product,
  milli: l.milli,
  note: noteOf(l),
  penalty: l.taxableUse && unit === 'gal' ? dyedPenalty(l.volume) : null,
});

const backSaid = (l: StatementLine, { from, to, reason, by }: TakenBack) => ({
  fill: l.fill,
  date: l.date,
  site: l.site,
  jurisdiction: l.jurisdiction,
  costCentre: l.costCentre,
  vehicle: l.vehicle,
  product: l.product,
  milli: l.milli,
  taxes: l.taxes,
  gross: l.gross,
  from,
  to,
  reason,
  by,
});

const monthEnd = (day: number): number => {
  const { year, month } = dateOfDay(day);
  return dayOfDate(month === 12 ? year + 1 : year, (month % 12) + 1, 1) - 1;
};

/** The next period: from the day after the last one, else the month of the first fill, else this month; to the end of its month. */
async function nextSpan(
  app: App,
  fleet: string,
): Promise<{ next: Span; periods: Period[]; taxes: Awaited<ReturnType<typeof taxesOf>> }> {
  return app.db.as(fleet, async (tx) => {
    const periods = await periodsOf(tx, fleet);
    const last = periods.at(-1);
    const first = await tx.row<{ at: number | null }>('select min(started_at) as at from fill where fleet = $1', [
      fleet,
    ]);
    const { fleet: content } = await app.drafts.current(tx, fleet);
    const from = last ? last.to + 1 : monthStart(todayOf(content, first?.at ?? app.now()));
    return { next: { from, to: monthEnd(from) }, periods, taxes: await taxesOf(tx, fleet) };
  });
}

type Name =
  | 'money'
  | 'moneyStatement'
  | 'statementPdf'
  | 'statementBook'
  | 'statementCsv'
  | 'fuelCsv'
  | 'addTax'
  | 'removeTax'
  | 'addCorrection'
  | 'closePeriod';

export const moneyHandlers: HandlersOf<Name> = {
  money: async ({ app, who }) => {
    const { next, periods, taxes } = await nextSpan(app, who.fleet);
    const span = { from: formatDate(next.from), to: formatDate(next.to) };
    return ok({ next: span, periods: periods.map(periodSaid), taxes });
  },

  moneyStatement: async ({ app, who, query }) => {
    const seen = await look(app, who.fleet, query);
    if (!seen.ok) return seen;
    const { content, got } = seen.value;
    const s = got.statement;
    const odd = s.lines.filter((l) => !l.back && noteOf(l) !== '');
    return ok({
      from: s.from,
      to: s.to,
      state: got.state,
      period: got.period ? periodSaid(got.period) : null,
      over: (parseDate(s.to) as number) < todayOf(content, app.now()),
      digest: got.period?.digest ?? digestOf(s),
      open: got.open,
      tooLate: got.tooLate,
      taxes: s.taxes,
      whole: wholeSums(s),
      costCentres: groupsOf(s, 'costCentre'),
      vehicles: groupsOf(s, 'vehicle'),
      drivers: groupsOf(s, 'driver'),
      products: groupsOf(s, 'product'),
      corrections: s.corrections,
      odd: odd.slice(0, MOST_ODD).map((l) => oddLine(s.unit, l)),
      oddCount: odd.length,
      jurisdictions: fuelByJurisdiction(s),
      takenBack: s.lines.flatMap((l) => (l.back ? [backSaid(l, l.back)] : [])),
    });
  },

  statementPdf: async ({ app, who, query, fileName, signal, say }) => {
    const seen = await look(app, who.fleet, query);
    if (!seen.ok) return seen;
    const { got } = seen.value;
    // A closed period is dated by its closing, so that its paper is the same whenever it is made.
    const at = got.period?.closedAt ?? app.now();
    const { day, minute } = localMoment(zoneOrUtc('UTC'), at);
    fileName(`statement-${query.from}-${query.to}.pdf`);
    const paper = accountPaper(got.statement, {
      state: got.state,
      ...(got.period
        ? { number: got.period.number, digest: got.period.digest, word: got.period.word, by: got.period.closedBy }
        : {}),
      at,
      atWords: `${formatDate(day)} ${formatMinute(minute)} UTC`,
    });
    return paperPdf(app, paper, { signal, say });
  },

  statementBook: async ({ app, who, query, fileName }) => {
    const seen = await look(app, who.fleet, query);
    if (!seen.ok) return seen;
    fileName(`statement-${query.from}-${query.to}.xlsx`);
    return ok(await statementBook(seen.value.got.statement));
  },

  statementCsv: async ({ app, who, query, fileName }) => {
    const seen = await look(app, who.fleet, query);
    if (!seen.ok) return seen;
    fileName(`statement-${query.from}-${query.to}.csv`);
    return ok(statementCsv(seen.value.got.statement));
  },

  fuelCsv: async ({ app, who, query, fileName }) => {
    const seen = await look(app, who.fleet, query);
    if (!seen.ok) return seen;
    fileName(`fuel-by-jurisdiction-${query.from}-${query.to}.csv`);
    return ok(fuelCsv(seen.value.got.statement));
  },

  addTax: async ({ app, who, body }) => {
    if (parseDate(body.from) === undefined) return err([problem('FW-743', { found: body.from })]);
    const tax = { id: app.randomId(), ...body };
    const missing = await app.db.as(who.fleet, async (tx) => {
      const { fleet } = await app.drafts.current(tx, who.fleet);
      const product = body.products.find((p) => !fleet.products.has(p));
      if (product !== undefined) return problem('FW-204', { at: { in: 'products', row: product } });
      const site = body.sites?.find((s) => !fleet.sites.has(s));
      if (site !== undefined) return problem('FW-204', { at: { in: 'sites', row: site } });
      await tx.rows('insert into account_tax (fleet, id, row, by, at) values ($1, $2, $3, $4, $5)', [
        who.fleet,
        tax.id,
        JSON.stringify(tax),
        who.name,
        app.now(),
      ]);
      return undefined;
    });
    if (missing) return err([missing]);
    app.tell(who.fleet, { kind: 'money' });
    return ok(tax);
  },

  removeTax: async ({ app, who, params }) => {
    const gone = await app.db.as(who.fleet, (tx) =>
      tx.row('delete from account_tax where fleet = $1 and id = $2 returning id', [who.fleet, params.id]),
    );
    if (!gone) return err([problem('FW-204', { at: { in: 'taxes', row: params.id } })]);
    app.tell(who.fleet, { kind: 'money' });
    return ok({});
  },

  addCorrection: async ({ app, who, body }) => {
    const day = parseDate(body.date);
    if (day === undefined) return err([problem('FW-743', { found: body.date })]);
    const missing = await app.db.as(who.fleet, async (tx) => {
      const { fleet } = await app.drafts.current(tx, who.fleet);
      if (!fleet.costCentres.has(body.costCentre))
        return problem('FW-204', { at: { in: 'costCentres', row: body.costCentre } });
      await tx.rows(
        `insert into account_correction (fleet, id, day, cost_centre, amount, reason, by, at)
         values ($1, $2, $3, $4, $5, $6, $7, $8)`,
        [who.fleet, app.randomId(), day, body.costCentre, body.amount, body.reason, who.name, app.now()],
      );
      return undefined;
    });
    if (missing) return err([missing]);
    app.tell(who.fleet, { kind: 'money' });
    return ok({});
  },

  closePeriod: async ({ app, who, body }) => {
    const span = spanOf(body);
    if (!span.ok) return err([span.error]);
    const closed = await app.db.as(who.fleet, async (tx) => {
      const { fleet: content } = await app.drafts.current(tx, who.fleet);
      const wish = { ...span.value, digest: body.digest, word: body.word, by: who.name };
      return closePeriod(tx, who.fleet, content, wish, app.now());
    });
    if (!closed.ok) return err([closed.error]);
    app.tell(who.fleet, { kind: 'money' });
    return ok(periodSaid(closed.value));
  },
};
