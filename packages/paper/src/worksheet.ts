import { nameOf } from '@fillwright/core/decide';
import type { Fleet } from '@fillwright/core/fleet';
import { PARTS, type StepPart, type Worksheet } from '@fillwright/core/worksheet';
import type { Cell, Paper, Part } from './paper.ts';

/** A worksheet as it is kept. */
export interface WorksheetRecord {
  readonly site: string;
  readonly release: number;
  /** Milliseconds UTC. */
  readonly madeAt: number;
  readonly madeBy: string;
  readonly signedAt: number | null;
  readonly signer: string | null;
  readonly signature: string | null;
  readonly sheet: Worksheet;
  readonly results: readonly {
    readonly step: string;
    readonly verdict: 'good' | 'bad' | 'stands' | 'open';
    readonly at: number;
    readonly by: string;
    readonly note: string;
  }[];
  readonly photos: readonly { readonly step: string }[];
}

const WORDS = { good: 'in order', bad: 'not in order', stands: 'may stand', open: '' } as const;

/** A worksheet on paper: filled in as far as it is, with boxes where it is open. `words`: a moment as people read it. */
export function worksheetPaper(fleet: Fleet, record: WorksheetRecord, words: (at: number) => string): Paper {
  const { sheet } = record;
  const results = new Map(record.results.map((r) => [r.step, r]));
  const open = sheet.steps.filter((s) => !results.has(s.id)).length;
  const bad = record.results.filter((r) => r.verdict === 'bad').length;
  const photos = new Map<string, number>();
  for (const p of record.photos) photos.set(p.step, (photos.get(p.step) ?? 0) + 1);
  const part = (of: StepPart): Part[] => {
    const steps = sheet.steps.filter((s) => s.part === of);
    if (steps.length === 0) return [];
    return [
      { kind: 'heading', level: 1, text: PARTS[of] },
      {
        kind: 'table',
        columns: [
          { title: 'In order', width: 34 },
          { title: 'Do' },
          { title: 'Must come of it' },
          { title: 'Result, by, at', width: 150 },
        ],
        rows: steps.map((s): Cell[] => {
          const r = results.get(s.id);
          const n = photos.get(s.id) ?? 0;
          const tail = n > 0 ? `; ${n} ${n === 1 ? 'photo' : 'photos'}` : '';
          return [
            r ? (r.verdict === 'bad' ? { text: 'no', bold: true } : 'yes') : { mark: 'box' },
            s.who === null ? s.act : `${s.act} By: ${s.who}.`,
            s.expect,
            r ? `${WORDS[r.verdict]}${r.note ? `: ${r.note}` : ''}; ${r.by}, ${words(r.at)}${tail}` : { mark: 'line' },
          ];
        }),
      },
    ];
  };
  return {
    title: 'Commissioning worksheet',
    subtitle: nameOf(fleet, 'sites', record.site),
    fleet: fleet.settings.name,
    asOf: record.signedAt ?? record.madeAt,
    asOfText: words(record.signedAt ?? record.madeAt),
    size: fleet.settings.units === 'us' ? 'letter' : 'a4',
    ...(record.signedAt === null ? { mark: 'Not signed' } : {}),
    parts: [
      { kind: 'cautions', before: 'work at a dispenser, tank or panel' },
      {
        kind: 'facts',
        rows: [
          ['Made from', `release ${record.release}, ${words(record.madeAt)}, by ${record.madeBy}`],
          ['Presentations hold for', words(sheet.at)],
          ['Steps', `${sheet.steps.length}: ${open} open, ${bad} not in order`],
        ],
      },
      { kind: 'heading', level: 2, text: 'Cards to have at hand' },
      { kind: 'list', items: sheet.bring },
      ...(Object.keys(PARTS) as StepPart[]).flatMap(part),
      ...(sheet.notNow.length > 0
        ? [
            { kind: 'heading' as const, level: 1 as const, text: 'Not shown here' },
            { kind: 'list' as const, items: sheet.notNow },
          ]
        : []),
      {
        kind: 'paragraph',
        text: 'Where it says journal, the site’s own record shows it. This sheet is no approval: permits, inspections and the sealing of meters are for those whom the law names.',
      },
      ...(record.signature === null || record.signedAt === null
        ? [{ kind: 'signatures' as const, roles: ['For the contractor', 'For the fleet'] }]
        : [
            {
              kind: 'picture' as const,
              svg: `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 600 200" width="240" height="80"><path d="${record.signature}" fill="none" stroke="#111" stroke-width="3" stroke-linecap="round" stroke-linejoin="round"/></svg>`,
              words: `Signed by ${record.signer}, ${words(record.signedAt)}`,
            },
          ]),
    ],
  };
}
