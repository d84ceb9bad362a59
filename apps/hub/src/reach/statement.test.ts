import { readPdf } from '@fillwright/paper/test/read-pdf.ts';
import { call } from '@fillwright/wire';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fillDraft, given, openOffice, releaseDraft, type TestOffice } from '../testing/office.ts';

let office: TestOffice;
beforeAll(async () => {
  office = await openOffice();
  await fillDraft(office);
  await releaseDraft(office);
});
afterAll(() => office.stop());

describe('the access statement', () => {
  const pdf = async (query: Record<string, string>) => {
    const bytes = (await given(call(office.owner, 'accessStatement', { query }))) as ArrayBuffer;
    return readPdf(new Uint8Array(bytes)).pages.join('\n').replaceAll('\n', '');
  };

  it('says who may draw what at a site, of the draft and of a release', async () => {
    const draft = await pdf({ site: 'north' });
    for (const said of [
      'Draft: no site runs this yet',
      'Bo Finch',
      'Lorry 1',
      'hose 1',
      '79.252 gal',
      'the whole week',
      'Daily',
    ])
      expect(draft).toContain(said);
    const released = await pdf({ driver: 'd1', which: '1' });
    expect(released).toContain('release 1');
    expect(released).not.toContain('no site runs this yet');
  });

  it('says what is missing: whom it is about, a site that has said nothing, a record that is not there', async () => {
    const code = async (query: Record<string, string>) => {
      const answer = await call(office.owner, 'accessStatement', { query });
      return answer.ok ? '' : answer.error.problem.code;
    };
    expect(await code({})).toBe('FW-335');
    expect(await code({ driver: 'd1', vehicle: 'v1' })).toBe('FW-335');
    expect(await code({ site: 'north', which: 'running' })).toBe('FW-336');
    expect(await code({ department: 'Nobody’s' })).toBe('FW-204');
    expect(await code({ site: 'north', which: '99' })).toBe('FW-308');
  });
});
