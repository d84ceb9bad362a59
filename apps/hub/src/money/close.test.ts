import { statementColumns, wholeSums } from '@fillwright/core/accounts';
import { dayOfDate, formatDate } from '@fillwright/core/units';
import { accountPaper, makePdf } from '@fillwright/paper';
import { readPdf } from '@fillwright/paper/test/read-pdf.ts';
import { call } from '@fillwright/wire';
import readWorkbook from 'read-excel-file/node';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openTestDatabase, type TestDatabase } from '../testing/database.ts';
import { fillDraft, fleetOf, given, openOffice, smallFleet, type TestOffice } from '../testing/office.ts';
import { closePeriod, digestOf } from './close.ts';
import { statementBook, statementCsv } from './export-statement.ts';
import { drawn, frozen } from './rows.ts';

const DAY = 86_400_000;
const content = fleetOf(smallFleet());
const MAY = [dayOfDate(2026, 5, 1), dayOfDate(2026, 5, 31)] as const;
const JUNE = [dayOfDate(2026, 6, 1), dayOfDate(2026, 6, 30)] as const;
const LATER = Date.UTC(2026, 7, 1);

describe('closing a period in the database', () => {
  let base: TestDatabase;
  let fleet: string;
  beforeAll(async () => {
    base = await openTestDatabase();
    fleet = await base.newFleet();
  });
  afterAll(() => base?.stop());

  const fill = (id: string, at: number, part: { volume?: number; state?: string } = {}) =>
    base.db.as(fleet, (tx) =>
      tx.rows(
        `insert into fill (fleet, id, site, terminal, hose, hose_number, product, driver, driver_name, vehicle, vehicle_name,
           cost_centre, revision, started_at, volume, limit_volume, price, unit, state, answers, decision, search)
         values ($1, $2, 'north', 'k1', 'h1', 1, 'diesel', 'd1', 'Bo Finch', 'v1', '=Lorry 1', 'roads', 1, $3, $4, 0, 40000, 'gal',
           $5, '{}', '{}', '')`,
        [fleet, id, at, part.volume ?? 37_854_118, part.state ?? 'ended'],
      ),
    );
  const look = (span: readonly [number, number]) =>
    base.db.as(fleet, (tx) => drawn(tx, fleet, content, span[0], span[1]));
  const close = async (span: readonly [number, number], digest?: string, now = LATER) => {
    const seen = digest ?? digestOf((await look(span)).statement);
    const wish = { from: span[0], to: span[1], digest: seen, word: 'May is right', by: 'Ada' };
    return base.db.as(fleet, (tx) => closePeriod(tx, fleet, content, wish, now));
  };
  const pdfOf = async (span: readonly [number, number]) => {
    const got = await look(span);
    const paper = accountPaper(got.statement, { state: got.state, at: LATER, atWords: 'then' });
    return makePdf(paper);
  };

  it('takes what lies in it by the wall’s calendar; a fill that comes late changes no byte of it and falls to the next', async () => {
    // North yard is six hours behind UTC in summer: the first is still April there, the last still May.
    await fill('april', MAY[0] * DAY + 5 * 3_600_000);
    await fill('first', MAY[0] * DAY + 7 * 3_600_000);
    await fill('last', JUNE[0] * DAY + 5 * 3_600_000);
    await fill('nothing', MAY[0] * DAY + 8 * 3_600_000, { volume: 0 });
    await fill('running', MAY[0] * DAY + 9 * 3_600_000, { state: 'open' });
    const before = await look(MAY);
    expect(before.statement.lines.map((l) => l.fill).sort()).toEqual(['first', 'last']);
    expect(before).toMatchObject({ state: 'next', open: 1 });

    expect(await close(MAY, 'another')).toMatchObject({ ok: false, error: { code: 'FW-742' } });
    expect(await close(MAY, undefined, MAY[1] * DAY + DAY)).toMatchObject({ ok: false, error: { code: 'FW-741' } });
    const done = await close(MAY);
    expect(done).toMatchObject({ ok: true, value: { number: 1 } });
    const closed = await look(MAY);
    const [paper, csv] = [Buffer.from(await pdfOf(MAY)).toString('latin1'), statementCsv(closed.statement)];

    await fill('late', MAY[0] * DAY + 12 * 3_600_000);
    await fill('june', JUNE[0] * DAY + 12 * 3_600_000);
    const again = await look(MAY);
    expect(again).toMatchObject({ state: 'closed', period: { number: 1 } });
    expect(digestOf(again.statement)).toBe(done.ok && done.value.digest);
    expect(Buffer.from(await pdfOf(MAY)).toString('latin1')).toBe(paper);
    expect(statementCsv(again.statement)).toBe(csv);

    const next = await look(JUNE);
    expect(next.statement.lines.map((l) => [l.fill, l.late])).toEqual([
      ['late', true],
      ['june', false],
    ]);
    expect(next.statement.lines[0]?.date).toBe(formatDate(MAY[0]));
    expect(await close([JUNE[0] + 1, JUNE[1]])).toMatchObject({ ok: false, error: { code: 'FW-740' } });
  });

  it('of two who close at once one is refused, and nothing is taken twice', async () => {
    const both = await Promise.all([close(JUNE), close(JUNE)]);
    expect(both.map((b) => (b.ok ? 'closed' : b.error.code)).sort()).toEqual(['FW-740', 'closed']);
    const taken = await base.db.as(fleet, (tx) =>
      tx.rows<{ fill: string; period: number }>('select fill, period from account_taken where fleet = $1', [fleet]),
    );
    expect(taken.map((t) => `${t.fill} ${t.period}`).sort()).toEqual(['first 1', 'june 2', 'last 1', 'late 2']);
  });

  it('looks 400 days back for what came late, and counts what came later than that', async () => {
    const AUGUST = [dayOfDate(2027, 8, 1), dayOfDate(2027, 8, 31)] as const;
    const span = [JUNE[1] + 1, AUGUST[0] - 1] as const;
    expect(await close(span, undefined, AUGUST[0] * DAY + DAY)).toMatchObject({ ok: true });
    await fill('ancient', (AUGUST[0] - 430) * DAY);
    await fill('forgotten', (AUGUST[0] - 380) * DAY);
    const next = await look(AUGUST);
    expect(next.statement.lines.map((l) => [l.fill, l.late])).toEqual([['forgotten', true]]);
    expect(next.tooLate).toBe(1);
  });

  it('the hub itself may not change or take away what is closed', async () => {
    for (const sql of [
      "update account_period set text = '{}' where fleet = $1",
      'delete from account_period where fleet = $1',
      'delete from account_taken where fleet = $1',
      'update account_correction set amount = 0 where fleet = $1',
      'delete from account_correction where fleet = $1',
    ])
      await expect(base.db.as(fleet, (tx) => tx.rows(sql, [fleet]))).rejects.toThrow(/permission denied/);
    expect(await base.db.as(fleet, (tx) => frozen(tx, fleet, 1))).toEqual((await look(MAY)).statement);
  });

  it('PDF, workbook and CSV add up to the same; no cell begins a formula', async () => {
    const { statement } = await look(MAY);
    const whole = wholeSums(statement);
    const [head, ...rows] = statementCsv(statement).trim().split('\r\n');
    expect(head).toMatch(/,Due \(USD\)$/);
    const dues = rows.map((row) => Math.round(Number(row.slice(row.lastIndexOf(',') + 1)) * 10_000));
    expect(dues.reduce((sum, due) => sum + due, 0)).toBe(whole.due);
    expect(rows.every((row) => row.includes(",'=Lorry 1,"))).toBe(true);
    const text = readPdf(await pdfOf(MAY)).pages.join('\n');
    for (const c of statementColumns(statement)) if (c.sum) expect(text).toContain(c.sum(whole));
    const book = Buffer.from(await statementBook(statement));
    const sheets = await readWorkbook(book);
    const [lines = [], centres = []] = ['Lines', 'Cost centres'].map((n) => sheets.find((s) => s.sheet === n)?.data);
    const [headings, ...cells] = lines;
    const sum = cells.pop();
    expect(cells).toHaveLength(rows.length);
    // Every column of figures adds up to its own sum, and the last of them to what is due.
    for (const [i, heading] of (headings ?? []).entries()) {
      if (typeof sum?.[i] !== 'number' || heading === 'Price') continue;
      const added = cells.reduce((total, row) => total + Math.round(Number(row[i] ?? 0) * 10_000), 0);
      expect([heading, added]).toEqual([heading, Math.round(Number(sum[i]) * 10_000)]);
    }
    expect(Math.round(Number(sum?.at(-1)) * 10_000)).toBe(whole.due);
    const dueByCentre = centres.slice(1).reduce((total, row) => total + Math.round(Number(row[4]) * 10_000), 0);
    expect(dueByCentre).toBe(whole.due);
    // Text that a spreadsheet would run stands as text.
    expect(cells.every((row) => row.includes('=Lorry 1'))).toBe(true);
  });
});

describe('the routes of money', () => {
  let office: TestOffice;
  beforeAll(async () => {
    office = await openOffice();
    await fillDraft(office);
  });
  afterAll(() => office?.stop());

  it('a month with a tax and a correction is looked at, closed with a word, and taken away as a file', async () => {
    const { owner } = office;
    office.clock.at = Date.UTC(2026, 5, 20);
    const tax = {
      name: 'Road levy',
      products: ['diesel'],
      sites: null,
      from: '2026-01-01',
      kind: 'volume' as const,
      rate: 2440,
      inPrice: true,
      exempt: ['offRoad' as const],
    };
    const wrong = await call(owner, 'addTax', { body: { ...tax, products: ['milk'] } });
    expect(!wrong.ok && wrong.error.problem.code).toBe('FW-204');
    const entered = await given(call(owner, 'addTax', { body: tax }));
    const correction = { costCentre: 'roads', date: '2026-05-12', amount: -120_000, reason: 'Spilt at the proving' };
    await given(call(owner, 'addCorrection', { body: correction }));
    const query = { from: '2026-05-01', to: '2026-05-31' };
    const seen = await given(call(owner, 'moneyStatement', { query }));
    expect(seen).toMatchObject({ state: 'next', over: true, whole: { due: -120_000 }, period: null });
    expect(seen.costCentres).toMatchObject([{ name: 'Roads', sums: { corrections: -120_000 } }]);
    const body = { ...query, digest: seen.digest, word: 'Only the spill' };
    expect(await given(call(owner, 'closePeriod', { body }))).toMatchObject({ number: 1, closedBy: 'Ada Quill' });
    const all = await given(call(owner, 'money', {}));
    expect(all).toMatchObject({ next: { from: '2026-06-01', to: '2026-06-30' }, taxes: [{ id: entered.id }] });
    await given(call(owner, 'removeTax', { params: { id: entered.id } }));
    expect((await given(call(owner, 'moneyStatement', { query }))).digest).toBe(seen.digest);
    const bytes = async () => new Uint8Array((await given(call(owner, 'statementPdf', { query }))) as ArrayBuffer);
    const first = await bytes();
    office.clock.at += DAY;
    expect(await bytes()).toEqual(first);
    expect(readPdf(first).pages.join(' ').replaceAll('\n', '')).toContain('Spilt at the proving');
    const bad = await call(owner, 'moneyStatement', { query: { from: '2026-06-01', to: '2026-05-01' } });
    expect(!bad.ok && bad.error.problem.code).toBe('FW-743');
  });
});
