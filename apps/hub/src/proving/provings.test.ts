import { call } from '@fillwright/wire';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fillDraft, given, openOfficeAndDatabase, smallFleet, type TestOffice } from '../testing/office.ts';

const run = {
  unit: 'gal' as const,
  rule: { by: 'HB 44' as const, accuracy: '0.5' as const },
  occasion: 'maintenance' as const,
  date: '2026-06-01',
  pulsesMilli: 100_000,
  prover: {
    name: '5 gal measure',
    certificate: 'C-1',
    certifiedOn: '2026-01-01',
    expiresOn: '2026-12-31',
    baseC: 15.5556,
    expansionPerC: 0.0000477,
  },
  density: null,
  drafts: [
    { kind: 'normal' as const, indicatedMilli: 5000, readingMilli: 2000, flow: null, meterC: null, proverC: null },
    { kind: 'normal' as const, indicatedMilli: 5000, readingMilli: 1000, flow: null, meterC: null, proverC: null },
    { kind: 'special' as const, indicatedMilli: 5000, readingMilli: -1000, flow: null, meterC: null, proverC: null },
  ],
};

describe('proving runs at the office', () => {
  let office: TestOffice;
  let all: Awaited<ReturnType<typeof openOfficeAndDatabase>>;
  const fleet = () => office.me.fleet;
  const fill = (id: string, hose: string) =>
    all.db.as(fleet(), (tx) =>
      tx.rows(
        `insert into fill (fleet, id, site, terminal, hose, hose_number, product, driver_name, vehicle_name, revision, started_at,
           ended_at, pulses, volume, limit_volume, price, amount, unit, state, answers, decision, search)
         values ($1, $2, 'north', 'k1', $3, 1, 'diesel', '', '', 1, 1, 2, 500, 18927059, 99999999, 40000, 200000, 'gal', 'ended', '{}', '{}', '')`,
        [fleet(), id, hose],
      ),
    );
  beforeAll(async () => {
    all = await openOfficeAndDatabase();
    office = all.office;
    await fillDraft(office);
  }, 120_000);
  afterAll(() => all?.stop());

  const body = {
    hose: 'h1',
    at: Date.UTC(2026, 5, 1, 11),
    run,
    note: '',
    back: null as { tank: string; volume: number } | null,
    fills: [] as string[],
  };

  it('judges, puts test fuel back as no sale, and takes the fills out of the amounts', async () => {
    await fill('f1', 'h1');
    await fill('f2', 'h1');
    const before = await given(call(office.owner, 'fills', { query: {} }));
    expect(before.totals.amount).toBe(400_000);
    const kept = await given(
      call(office.owner, 'addProving', { body: { ...body, back: { tank: 't1', volume: 56_781_177 }, fills: ['f1'] } }),
    );
    expect(kept).toMatchObject({ judged: { verdict: 'passes', truePulsesMilli: 99_870 }, fills: ['f1'], tank: 't1' });
    const after = await given(call(office.owner, 'fills', { query: {} }));
    expect(after.totals).toMatchObject({ amount: 200_000, volume: before.totals.volume });
    expect(after.fills.find((f) => f.id === 'f1')?.proving).toBe(kept.id);
    const [move] = await given(call(office.owner, 'tankMoves', { params: { tank: 't1' }, query: {} }));
    expect(move).toMatchObject({ kind: 'proving', volume: 56_781_177, book: 56_781_177 });
    expect(await given(call(office.owner, 'provings', { query: { hose: 'h1' } }))).toEqual([kept]);
    const pdf = await fetch(`${office.hub.url}/api/provings/${kept.id}/paper`, { headers: office.owner.headers ?? {} });
    expect(pdf.headers.get('content-type')).toBe('application/pdf');
    expect(
      Buffer.from(await pdf.arrayBuffer())
        .subarray(0, 5)
        .toString(),
    ).toBe('%PDF-');
  });

  it('refuses another tank’s product, a fill that is taken or not there, a hose that is not there; and then keeps nothing', async () => {
    const code = async (part: Partial<typeof body>) => {
      const answer = await call(office.owner, 'addProving', { body: { ...body, ...part } });
      return answer.ok ? 'kept' : answer.error.problem.code;
    };
    const { version } = await given(call(office.owner, 'draft', {}));
    const tank = smallFleet().find((e) => e.op === 'put' && e.row.id === 't1');
    const edits = [
      { op: 'put', table: 'products', row: { id: 'petrol', name: 'Petrol', kind: 'petrol', short: '' } },
      { op: 'put', table: 'tanks', row: { ...(tank?.op === 'put' ? tank.row : {}), id: 't3', product: 'petrol' } },
    ];
    await given(call(office.owner, 'editDraft', { body: { version, edits: edits as never } }));
    const kept = (await given(call(office.owner, 'provings', { query: {} }))).length;
    expect(await code({ back: { tank: 't3', volume: 1000 } })).toBe('FW-755');
    expect(await code({ back: { tank: 't9', volume: 1000 } })).toBe('FW-204');
    expect(await code({ fills: ['f1'] })).toBe('FW-756');
    expect(await code({ fills: ['f2', 'f9'] })).toBe('FW-204');
    expect(await code({ hose: 'h9' })).toBe('FW-204');
    expect(await code({ at: office.clock.at + 3 * 86_400_000 })).toBe('FW-201');
    expect((await given(call(office.owner, 'provings', { query: {} }))).length).toBe(kept);
    expect((await given(call(office.owner, 'fill', { params: { id: 'f2' } }))).fill.proving).toBeNull();
  });
});
