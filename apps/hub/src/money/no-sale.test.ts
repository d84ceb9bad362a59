import { dayOfDate } from '@fillwright/core/units';
import { readPdf } from '@fillwright/paper/test/read-pdf.ts';
import { call } from '@fillwright/wire';
import readWorkbook from 'read-excel-file/node';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fillsForFlags } from '../flags/input.ts';
import { tankRows } from '../stock/rows.ts';
import {
  fillDraft,
  fleetOf,
  given,
  openOfficeAndDatabase,
  PASSWORD,
  smallFleet,
  type TestOffice,
} from '../testing/office.ts';
import { fillsIn } from './rows.ts';

const MAY = Date.UTC(2026, 4, 12, 15);
const content = fleetOf(smallFleet());

describe('fuel drawn for a proving is no sale', () => {
  let office: TestOffice;
  let all: Awaited<ReturnType<typeof openOfficeAndDatabase>>;
  const fleet = () => office.me.fleet;
  const VOLUME = 37_854_118;
  /** A fill of 10 gal at 4.00, with its move in tank t1. */
  const fill = (id: string, at: number) =>
    all.db.as(fleet(), async (tx) => {
      await tx.rows(
        `insert into fill (fleet, id, site, terminal, hose, hose_number, product, driver, driver_name, vehicle, vehicle_name, cost_centre,
           revision, started_at, ended_at, pulses, volume, limit_volume, price, amount, unit, state, answers, decision, search)
         values ($1, $2, 'north', 'k1', 'h1', 1, 'diesel', 'd1', 'Bo Finch', 'v1', 'Lorry 1', 'roads', 1, $3, $4, 1000, $5, 99999999,
           40000, 400000, 'gal', 'ended', '{}', '{}', '')`,
        [fleet(), id, at, at + 60_000, VOLUME],
      );
      await tx.rows(
        `insert into tank_move (fleet, id, tank, kind, volume, at, by, note, fill)
         values ($1, $2, 't1', 'fill', $3, $4, '', '', $2)`,
        [fleet(), id, -VOLUME, at + 60_000],
      );
    });
  const run = {
    unit: 'gal' as const,
    rule: { by: 'HB 44' as const, accuracy: '0.5' as const },
    occasion: 'maintenance' as const,
    date: '2026-05-12',
    pulsesMilli: 100_000,
    prover: {
      name: 'Measure',
      certificate: 'C-1',
      certifiedOn: '2026-01-01',
      expiresOn: '2026-12-31',
      baseC: 15.5556,
      expansionPerC: 0.0000477,
    },
    density: null,
    drafts: [
      { kind: 'normal' as const, indicatedMilli: 5000, readingMilli: 0, flow: null, meterC: null, proverC: null },
      { kind: 'normal' as const, indicatedMilli: 5000, readingMilli: 0, flow: null, meterC: null, proverC: null },
      { kind: 'special' as const, indicatedMilli: 5000, readingMilli: 0, flow: null, meterC: null, proverC: null },
    ],
  };
  const prove = (fills: string[], back: { tank: string; volume: number } | null) =>
    given(call(office.owner, 'addProving', { body: { hose: 'h1', at: MAY, run, note: '', back, fills } }));

  beforeAll(async () => {
    all = await openOfficeAndDatabase();
    office = all.office;
    const version = await fillDraft(office);
    const site = content.sites.get('north');
    if (!site) throw new Error('north stands in the small fleet');
    const named = { op: 'put', table: 'sites', row: { ...site, jurisdiction: 'Oxshire' } } as const;
    await given(call(office.owner, 'editDraft', { body: { version, edits: [named] } }));
    office.clock.at = Date.UTC(2026, 5, 20);
    const levy = {
      name: 'Levy',
      products: ['diesel'],
      sites: null,
      from: '2026-01-01',
      kind: 'volume',
      rate: 2440,
    } as const;
    await given(call(office.owner, 'addTax', { body: { ...levy, inPrice: true, exempt: [] } }));
    for (const [i, id] of ['sold', 'proven', 'closed'].entries()) await fill(id, MAY + i * 3_600_000);
  }, 120_000);
  afterAll(() => all?.stop());

  it('statements, flags, demand leave it out; the tank’s own fills keep it, less what went back', async () => {
    await prove(['proven'], { tank: 't1', volume: 30_000_000 });
    await all.db.as(fleet(), async (tx) => {
      const day = dayOfDate(2026, 5, 12);
      const { fills } = await fillsIn(tx, fleet(), content, { from: day, to: day, untaken: true });
      expect(fills.map((f) => f.id).sort()).toEqual(['closed', 'sold']);
      const flagged = await fillsForFlags(tx, fleet(), content, MAY - 1, MAY + 86_400_000);
      expect(flagged.map((f) => f.id).sort()).toEqual(['closed', 'sold']);
      const rows = await tankRows(tx, fleet(), 't1', [], MAY - 1, MAY - 1);
      expect(rows.fills.map((f) => [f.id, f.volume, f.back])).toEqual([
        ['sold', VOLUME, 0],
        ['proven', VOLUME, 30_000_000],
        ['closed', VOLUME, 0],
      ]);
      expect(rows.demand.map((d) => d.volume)).toEqual([VOLUME, VOLUME]);
      expect(rows.others.map((o) => [o.kind, o.volume])).toEqual([['proving', 30_000_000]]);
    });
  });

  it('marked after its period was closed it makes a correction of its own in the next, and the closed one stays', async () => {
    const query = { from: '2026-05-01', to: '2026-05-31' };
    const seen = await given(call(office.owner, 'moneyStatement', { query }));
    expect(seen.whole).toMatchObject({ fills: 2, due: 800_000 });
    await given(call(office.owner, 'closePeriod', { body: { ...query, digest: seen.digest, word: 'May' } }));
    const june = { query: { from: '2026-06-01', to: '2026-06-30' } };
    expect((await given(call(office.owner, 'moneyStatement', june))).whole.due).toBe(0);

    const proving = await prove(['closed'], null);
    expect(proving.fills).toEqual(['closed']);
    const after = await given(call(office.owner, 'moneyStatement', { query }));
    expect(after).toMatchObject({ state: 'closed', digest: seen.digest, whole: seen.whole });
    const next = await given(call(office.owner, 'moneyStatement', june));
    expect(next.whole).toMatchObject({ fills: 0, takenBack: 1, milli: -10_000, corrections: 0, due: -400_000 });
    expect(next.takenBack).toMatchObject([
      {
        fill: 'closed',
        date: '2026-05-12',
        costCentre: 'Roads',
        jurisdiction: 'Oxshire',
        ...query,
        milli: -10_000,
        taxes: [-24_400],
        gross: -400_000,
        reason: 'drawn for a proving run of hose 1',
        by: 'Ada Quill',
      },
    ]);
    const fuel = { jurisdiction: 'Oxshire', product: 'Diesel' };
    expect(next.jurisdictions).toEqual([{ ...fuel, back: query, milli: -10_000, taxes: [-24_400] }]);
    expect(after.jurisdictions).toEqual([{ ...fuel, back: null, milli: 20_000, taxes: [48_800] }]);
    // Only once, and not for what no period had taken.
    const again = await call(office.owner, 'addProving', {
      body: { hose: 'h1', at: MAY, run, note: '', back: null, fills: ['closed'] },
    });
    expect(!again.ok && again.error.problem.code).toBe('FW-756');
    expect((await given(call(office.owner, 'moneyStatement', june))).takenBack).toHaveLength(1);
  });

  it('papers, workbook and CSV of the next period have it as a line of its own and add up; once closed it is not taken back again', async () => {
    const query = { from: '2026-06-01', to: '2026-06-30' };
    await fill('june', Date.UTC(2026, 5, 3, 15));
    office.clock.at = Date.UTC(2026, 6, 20);
    const owner = await office.signIn('ada@example.test', PASSWORD);
    if (typeof owner === 'string') throw new Error(owner);
    const seen = await given(call(owner, 'moneyStatement', { query }));
    expect(seen.whole).toMatchObject({ fills: 1, takenBack: 1, milli: 0, taxes: [0], due: 0 });
    const text = async (name: 'statementCsv' | 'fuelCsv') =>
      new TextDecoder()
        .decode((await given(call(owner, name, { query }))) as ArrayBuffer)
        .trim()
        .split('\r\n');
    const [head = '', ...lines] = await text('statementCsv');
    const at = head.split(',').indexOf('Volume (gal)');
    expect(lines.map((l) => l.split(',')[at]).sort()).toEqual(['-10.000', '10.000']);
    expect(lines.find((l) => l.includes('-10.000'))).toContain(
      'no sale, charged in 2026-05-01 to 2026-05-31, taken back by',
    );
    expect((await text('fuelCsv')).slice(1)).toEqual([
      'Oxshire,Diesel,drawn,10.000,2.44',
      'Oxshire,Diesel,taken back: charged in 2026-05-01 to 2026-05-31,-10.000,-2.44',
    ]);
    const book = await readWorkbook(Buffer.from((await given(call(owner, 'statementBook', { query }))) as ArrayBuffer));
    const sheet = (name: string) => book.find((s) => s.sheet === name)?.data ?? [];
    expect(
      sheet('Fuel by jurisdiction')
        .slice(1)
        .map((row) => row.slice(-2)),
    ).toEqual([
      [10, 2.44],
      [-10, -2.44],
      [0, 0],
    ]);
    expect(sheet('Lines').at(-1)).toContain('Sum');
    const pdf = new Uint8Array((await given(call(owner, 'statementPdf', { query }))) as ArrayBuffer);
    const words = readPdf(pdf).pages.join(' ').replaceAll(/\s+/g, ' ');
    for (const said of ['Taken back', 'Fuel by jurisdiction', '-10.000']) expect(words).toContain(said);

    await given(call(owner, 'closePeriod', { body: { ...query, digest: seen.digest, word: 'June' } }));
    const july = await given(call(owner, 'moneyStatement', { query: { from: '2026-07-01', to: '2026-07-31' } }));
    expect(july).toMatchObject({ whole: { fills: 0, takenBack: 0, due: 0 }, takenBack: [] });
    expect(await given(call(owner, 'moneyStatement', { query }))).toMatchObject({
      state: 'closed',
      whole: seen.whole,
    });
  });
});
