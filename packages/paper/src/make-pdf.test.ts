import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { readPdf } from '../test/read-pdf.ts';
import { makePdf, type Paper } from './index.ts';

const paper = (more: Partial<Paper> = {}): Paper => ({
  title: 'Who may draw',
  subtitle: 'Harrow Yard',
  fleet: 'Harrowmere',
  asOf: Date.UTC(2026, 10, 25, 9, 30),
  asOfText: '2026-11-25 10:30 by the clock at Harrow Yard',
  size: 'letter',
  mark: 'Draft: not released',
  parts: [
    { kind: 'heading', text: 'Drivers', level: 1 },
    { kind: 'paragraph', text: 'Up to 60 gal (227.12 l), élève Žižka, Ω' },
    { kind: 'facts', rows: [['Site', 'Harrow Yard']] },
    {
      kind: 'table',
      caption: 'Names',
      columns: [{ title: 'Name' }, { title: 'Limit', align: 'right', width: 'fit' }, { title: 'Seen', width: 30 }],
      rows: Array.from({ length: 120 }, (_, n) => [`Person ${n}`, `${n} gal`, { mark: 'box' } as const]),
      total: ['120 people', '7140 gal', ''],
    },
    { kind: 'table', columns: [{ title: 'Exceptions' }], rows: [], none: 'No exceptions.' },
    { kind: 'list', items: ['One', 'Two'] },
    {
      kind: 'picture',
      svg: '<svg viewBox="0 0 100 20" xmlns="http://www.w3.org/2000/svg"><rect width="40" height="20" fill="#888"/></svg>',
      words: 'A week.',
    },
    { kind: 'cautions', before: 'going to a dispenser' },
    { kind: 'signatures', roles: ['For the fleet'], above: 'Read and found right.' },
  ],
  ...more,
});

const sha = (bytes: Uint8Array) => createHash('sha256').update(bytes).digest('hex');

describe('makePdf', () => {
  it('gives text that reads back, with the table head and the page number on every page', async () => {
    const { pages, title, language, raw } = readPdf(await makePdf(paper()));
    expect(title).toBe('Who may draw: Harrow Yard');
    expect(language).toBe('en');
    expect(raw).toContain('/DisplayDocTitle true');
    const words = pages.map((p) => p.replaceAll('\n', ''));
    expect(words.length).toBeGreaterThan(2);
    for (const [n, page] of words.entries()) {
      expect(page).toContain('Harrowmere');
      expect(page).toContain('Draft: not released');
      expect(page).toContain(`Page ${n + 1} of ${words.length}`);
    }
    const all = words.join('');
    expect(all).toContain('Up to 60 gal (227.12 l), élève Žižka, Ω');
    for (let n = 0; n < 120; n++) expect(all).toContain(`Person ${n}`);
    expect(all.split('NameLimitSeen')).toHaveLength(1 + words.filter((p) => p.includes('Person')).length);
    for (const said of [
      'No exceptions.',
      'Two',
      'A week.',
      'Isolate and lock out',
      'In any doubt, stop the hose',
      '120 people',
    ])
      expect(all).toContain(said);
    expect(all).toContain('For the fleet: name');
  });

  it('is the same bytes for the same paper, and others for another', async () => {
    const [a, b, c] = await Promise.all([makePdf(paper()), makePdf(paper()), makePdf(paper({ asOf: 0, parts: [] }))]);
    expect(sha(a)).toBe(sha(b));
    expect(sha(a)).not.toBe(sha(c));
  });

  it('has the page of the size that was asked for', async () => {
    const boxes = async (more: Partial<Paper>) =>
      /\/MediaBox \[([^\]]*)\]/.exec(readPdf(await makePdf(paper({ ...more, parts: [] }))).raw)?.[1];
    expect(await boxes({})).toBe('0 0 612 792');
    expect(await boxes({ size: 'a4' })).toBe('0 0 595.28 841.89');
    expect(await boxes({ size: 'a4', landscape: true })).toBe('0 0 841.89 595.28');
  });
});
