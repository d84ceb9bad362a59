import type { Entry } from '@fillwright/core/island';
import { call, type WorksheetReply } from '@fillwright/wire';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fillDraft, given, openOfficeAndDatabase, releaseDraft, type TestOffice } from '../testing/office.ts';

const JPEG = Buffer.from([0xff, 0xd8, 0xff, 0xe0, 1, 2, 3]).toString('base64');

describe('worksheets at the office', () => {
  let all: Awaited<ReturnType<typeof openOfficeAndDatabase>>;
  let office: TestOffice;
  let release: number;
  let seq = 0;
  beforeAll(async () => {
    all = await openOfficeAndDatabase();
    office = all.office;
    await fillDraft(office);
    release = await releaseDraft(office);
  }, 120_000);
  afterAll(() => all?.stop());

  const journal = (entry: Partial<Entry> & { kind: string; at: number; fill?: string }) =>
    all.db.as(office.me.fleet, async (tx) => {
      seq++;
      const id = `north.e.${seq}`;
      await tx.rows(
        `insert into entry (fleet, site, epoch, seq, at, hash, kind, fill, text) values ($1, 'north', 'e', $2, $3, '', $4, $5, $6)`,
        [office.me.fleet, seq, entry.at, entry.kind, entry.fill ?? id, JSON.stringify(entry)],
      );
      return id;
    });
  const make = () => given(call(office.owner, 'makeWorksheet', { body: { site: 'north' } }));
  const code = async (
    answer: ReturnType<typeof call<'addResults' | 'signWorksheet' | 'addPhoto' | 'makeWorksheet'>>,
  ) => {
    const a = await answer;
    return a.ok ? 'kept' : a.error.problem.code;
  };
  const results = (sheet: WorksheetReply, verdict: 'good' | 'bad' | 'stands', ids?: string[]) => ({
    params: { id: sheet.id },
    body: {
      results: sheet.sheet.steps
        .filter((s) => ids === undefined || ids.includes(s.id))
        .map((s, i) => ({
          id: `result-${verdict}-${i}`,
          step: s.id,
          verdict,
          at: office.clock.at + 1000,
          note: verdict === 'stands' ? 'no hose yet' : '',
        })),
    },
  });
  const sign = (sheet: WorksheetReply) =>
    call(office.owner, 'signWorksheet', {
      params: { id: sheet.id },
      body: { at: office.clock.at + 5000, signer: 'Ada Quill', signature: 'M1 1 L2 2' },
    });

  it('recognises from the journal, keeps what comes twice once, and is signed only when whole', async () => {
    const sheet = await make();
    expect(sheet).toMatchObject({ release, site: 'north', results: [], signedAt: null });
    const step = sheet.sheet.steps.find((s) => s.seen?.by === 'let in');
    if (step?.seen?.by !== 'let in') throw new Error('nobody is let in');
    const { seen } = step;
    const at = office.clock.at + 10;
    const fill = await journal({
      kind: 'authorised',
      at,
      terminal: seen.terminal,
      hose: seen.hose,
      driver: seen.driver ?? undefined,
      vehicle: seen.vehicle ?? undefined,
      credentials: ['c1', 'c2'],
      revision: release,
      limitUl: seen.limit,
    } as never);
    await journal({ kind: 'ended', at: at + 5, hose: seen.hose, fill, reason: 'limit', overPulses: 1 } as never);
    const read = await given(call(office.owner, 'worksheet', { params: { id: sheet.id } }));
    const by = new Map(read.results.map((r) => [r.step, r]));
    expect(by.get(step.id)).toMatchObject({ verdict: 'good', by: 'journal', ref: fill });
    expect(by.get(`hose limit ${seen.hose}`)).toMatchObject({ verdict: 'good', by: 'journal' });
    expect(await code(sign(sheet))).toBe('FW-758');

    const open = sheet.sheet.steps.filter((s) => !by.has(s.id)).map((s) => s.id);
    const bad = open.slice(0, 1);
    await given(call(office.owner, 'addResults', results(sheet, 'good', open)));
    const twice = await given(call(office.owner, 'addResults', results(sheet, 'good', open)));
    expect(twice.results.length).toBe(sheet.sheet.steps.length);
    const later = results(sheet, 'bad', bad);
    for (const r of later.body.results) r.at += 1000;
    await given(call(office.owner, 'addResults', later));
    expect(await code(sign(sheet))).toBe('FW-758');
    const stands = results(sheet, 'stands', bad);
    for (const r of stands.body.results) r.at += 2000;
    const wordless = { ...stands, body: { results: stands.body.results.map((r) => ({ ...r, note: ' ' })) } };
    expect(await code(call(office.owner, 'addResults', wordless))).toBe('FW-201');
    await given(call(office.owner, 'addResults', stands));
    const photo = (id: string, data: string) =>
      call(office.owner, 'addPhoto', {
        params: { id: sheet.id },
        body: { id, step: step.id, at: office.clock.at, data },
      });
    expect(await code(photo('photo-0001', Buffer.from('GIF89a').toString('base64')))).toBe('FW-759');
    expect(await code(photo('photo-0002', JPEG))).toBe('kept');
    const signed = await given(sign(sheet));
    expect(signed).toMatchObject({ signer: 'Ada Quill', signature: 'M1 1 L2 2' });
    expect(signed.photos.length).toBe(1);

    // After the signature nothing more; but what was sent before and not answered is no trouble.
    const more = results(sheet, 'bad', bad);
    for (const r of more.body.results) r.id = 'result-after-signing';
    expect(await code(call(office.owner, 'addResults', more))).toBe('FW-757');
    expect(await code(call(office.owner, 'addResults', stands))).toBe('kept');
    expect(await code(photo('photo-0002', JPEG))).toBe('kept');
    expect(await code(photo('photo-0003', JPEG))).toBe('FW-757');
    await journal({
      kind: 'ended',
      at: office.clock.at + 9000,
      hose: seen.hose,
      fill,
      reason: 'limit',
      overPulses: 7,
    } as never);
    const still = await given(call(office.owner, 'worksheet', { params: { id: sheet.id } }));
    expect(still.results.find((r) => r.step === `hose limit ${seen.hose}`)?.verdict).toBe('good');

    const headers = office.owner.headers ?? {};
    const pdf = await fetch(`${office.hub.url}/api/worksheets/${sheet.id}/paper`, { headers });
    expect(
      Buffer.from(await pdf.arrayBuffer())
        .subarray(0, 5)
        .toString(),
    ).toBe('%PDF-');
    const picture = await fetch(`${office.hub.url}/api/worksheets/${sheet.id}/photos/photo-0002`, { headers });
    expect(Buffer.from(await picture.arrayBuffer()).toString('base64')).toBe(JPEG);
  });

  it('refuses a site that is not there and a step of another sheet', async () => {
    expect(await code(call(office.owner, 'makeWorksheet', { body: { site: 'nowhere' } }))).toBe('FW-204');
    const sheet = await make();
    const body = { results: [{ id: 'result-x1', step: 'hose limit h9', verdict: 'good' as const, at: 1, note: '' }] };
    expect(await code(call(office.owner, 'addResults', { params: { id: sheet.id }, body }))).toBe('FW-204');
  });
});
