import { type AnyRow, type Fleet, fieldsOf, type LayoutName, type RowOf } from '@fillwright/core/fleet';
import {
  type Broken,
  CHARACTER_DOTS,
  cutOf,
  type FaceScreen,
  facesOf,
  LANGUAGES,
  type Laid,
  type Language,
  planOf,
  REVIEWED,
  sampleReceipt,
  sentenceOf,
  shownIn,
} from '@fillwright/core/island';
import { useState } from 'react';
import { useNow } from '../../data/clock.ts';
import { useDraft } from '../../data/draft.ts';
import { useMay } from '../../data/me.ts';
import { FieldInput, linesIn } from '../../field/field-input.tsx';
import { Mark } from '../../look/marks.tsx';
import { siteMoment } from '../../show/site-time.ts';
import { FaceLayout } from './face-layout.tsx';
import './face.css';
import { Choice } from '../../field/choice.tsx';

/** Fields of a terminal that are made here, beside the picture of what they make. */
export const FACE_FIELDS = [
  'idle',
  'receiptHead',
  'receiptFoot',
  'idleLayout',
  'flowingLayout',
  'filledLayout',
  'receiptLayout',
] as const;
type TextField = 'idle' | 'receiptHead' | 'receiptFoot';

/** A terminal's display and paper as the box will lay them out, by the same code; also while somebody types. */
export function Face({ terminal }: { terminal: string }) {
  const { fleet } = useDraft();
  const now = useNow(60_000);
  const [typed, setTyped] = useState<Partial<RowOf<'terminals'>>>({});
  const [chosen, setChosen] = useState('idle');
  const row = fleet.terminals.get(terminal);
  if (!row) return null;
  const { site } = row;
  const shown = { ...fleet, terminals: new Map(fleet.terminals).set(terminal, { ...row, ...typed }) };
  const plan = planOf(shown, site, 0);
  const own = plan?.terminals[terminal];
  const zone = fleet.sites.get(site)?.zone ?? 'UTC';
  const time = { at: now, text: siteMoment(now, zone).slice(0, 16), day: Math.floor(now / 86_400_000) };
  const faces = plan ? facesOf(shown, plan, terminal, time.day) : [];
  const face = faces.find((f) => f.id === chosen) ?? faces[0];
  if (!own || !face) return null;
  const isCut = (f: FaceScreen) => shownIn(f, own).some((s) => s.laid.overflow.length > 0);
  const cut = new Set(faces.filter(isCut).map((f) => f.id));
  const glasses = shownIn(face, own);
  const papers = own.languages.flatMap((language) => {
    const laid = sampleReceipt(shown, own, site, language, time);
    return laid ? [{ language, laid }] : [];
  });
  const trying = (field: keyof RowOf<'terminals'>, value: unknown) =>
    setTyped(({ [field]: _, ...rest }) => (value === undefined ? rest : { ...rest, [field]: value }));
  const text = (name: TextField) => (
    <FaceText
      key={`${terminal} ${name}`}
      row={row}
      name={name}
      fleet={fleet}
      onTyping={(t) => trying(name, t === undefined ? undefined : linesIn(t))}
    />
  );
  const layout = (name: LayoutName, wrong: ReadonlyMap<number, string>, texts?: React.ReactNode) => (
    <FaceLayout
      key={`${terminal} ${name}`}
      row={row}
      name={name}
      plan={own}
      wrong={wrong}
      onTyping={(l) => trying(`${name}Layout`, l)}
    >
      {texts}
    </FaceLayout>
  );
  const drawn = (['idle', 'flowing', 'filled'] as const).find((s) => s === face.screen);
  return (
    <section className="panel face" aria-label="Display and receipt">
      <div className="spread">
        <h2>Display and receipt</h2>
        <Choice
          label="Screen"
          beside
          items={faces.map((f) => [f.id, `${sentenceOf(f.screen, 'en', f.data)}${cut.has(f.id) ? ' (cut)' : ''}`])}
          value={face.id}
          choose={setChosen}
        />
      </div>
      {cut.size === 0 ? (
        <p className="small quiet">Every screen fits on {sizeOf(row, own)} in every language.</p>
      ) : (
        <Mark is="warning">
          {cut.size} of {faces.length} screens {cut.size === 1 ? 'is' : 'are'} cut on {sizeOf(row, own)}; the list of
          screens says which.
        </Mark>
      )}
      <div className="face-row">
        {glasses.map(({ language, laid }) => (
          <Picture key={language} kind="glass" language={language} laid={laid} dots={row.dots} />
        ))}
      </div>
      {drawn && layout(drawn, cutRows(glasses), drawn === 'idle' && <div className="face-fields">{text('idle')}</div>)}
      {own.paper === null ? (
        <p className="small quiet">This terminal has no printer.</p>
      ) : (
        <div className={row.receiptLayout === null ? 'face-papers' : 'face-papers own'}>
          <div className="face-row">
            {papers.map(({ language, laid }) => (
              <Picture key={language} kind="paper" language={language} laid={laid} broken={laid.broken} />
            ))}
          </div>
          {layout(
            'receipt',
            brokenRows(papers),
            <div className="face-fields">
              {text('receiptHead')}
              {text('receiptFoot')}
            </div>,
          )}
        </div>
      )}
      <p className="small quiet">
        Lines are centred and aligned by the terminal, not by spaces. Quantities are the most that a hose gives, names
        the longest of the roster, prices today’s.
      </p>
    </section>
  );
}

const sizeOf = ({ dots, dotsAcross, dotsDown }: RowOf<'terminals'>, own: { columns: number; rows: number }): string =>
  `${own.columns} columns by ${own.rows} rows${dots === 'none' ? '' : ` (${dotsAcross ?? '?'} × ${dotsDown ?? '?'} dots)`}`;

/** Rows of a display’s layout that are cut, with how much in which language. */
function cutRows(glasses: readonly { readonly language: Language; readonly laid: Laid }[]): Map<number, string> {
  const said = new Map<number, string>();
  for (const { language, laid } of glasses)
    for (const { line, over } of laid.overflow)
      said.set(line, [said.get(line), `${over} too many in ${LANGUAGES[language]}`].filter(Boolean).join(', '));
  return said;
}

function brokenRows(
  papers: readonly { readonly language: Language; readonly laid: { readonly broken: readonly Broken[] } }[],
): Map<number, string> {
  const said = new Map<number, string>();
  for (const { language, laid } of papers)
    for (const { row, lines } of laid.broken)
      said.set(row, [said.get(row), `${lines} lines in ${LANGUAGES[language]}`].filter(Boolean).join(', '));
  return said;
}

interface FaceTextProps {
  readonly row: AnyRow;
  readonly name: TextField;
  readonly fleet: Fleet;
  readonly onTyping: (text: string | undefined) => void;
}

function FaceText({ row, name, fleet, onTyping }: FaceTextProps) {
  const { edit } = useDraft();
  const may = useMay('editor');
  const field = fieldsOf('terminals').find((f) => f.name === name);
  if (!field) return null;
  return (
    <FieldInput
      field={field}
      value={row[name]}
      fleet={fleet}
      disabled={!may}
      onTyping={onTyping}
      onValue={(value) => {
        const edits = [{ op: 'set' as const, table: 'terminals' as const, id: row.id, fields: { [name]: value } }];
        const done = edit(edits, `${field.label} of terminal ${String(row.name)}`);
        return done.ok ? undefined : done.error[0];
      }}
    />
  );
}

interface PictureProps {
  readonly kind: 'glass' | 'paper';
  readonly language: Language;
  readonly laid: Laid;
  readonly broken?: readonly Broken[];
  readonly dots?: RowOf<'terminals'>['dots'];
}

/** Characters of a display of dots are as wide and as high as their dots. */
const LINE_EM = 1.2;
const CHARACTER_EM = 0.602;
function shapeOf(dots: PictureProps['dots']): React.CSSProperties | undefined {
  if (!dots || dots === 'none') return undefined;
  const [across, down] = CHARACTER_DOTS[dots];
  return { lineHeight: LINE_EM, letterSpacing: `${((LINE_EM * across) / down - CHARACTER_EM).toFixed(3)}em` };
}

function Picture({ kind, language, laid, broken = [], dots }: PictureProps) {
  const rows = laid.lines.length;
  return (
    <figure className="face-picture">
      <figcaption className="small quiet">
        {LANGUAGES[language]}
        {REVIEWED[language] ? '' : ', not reviewed by a native speaker'}
      </figcaption>
      <pre className={`face-${kind}`} lang={language} style={shapeOf(dots)}>
        {laid.lines.join('\n')}
      </pre>
      {broken.length > 0 && (
        <p className="small">
          <Mark is="note">
            {broken.length === 1 ? 'One row is' : `${broken.length} rows are`} too wide and printed on several lines
          </Mark>
        </p>
      )}
      {laid.overflow.length > 0 && (
        <ul className="face-cuts small">
          {laid.overflow.map((over) => {
            const { fits, cut } = cutOf(over);
            return (
              <li key={over.line}>
                <Mark is="warning">
                  {over.line >= rows
                    ? `No row for line ${over.line + 1}`
                    : `Line ${over.line + 1}: ${over.over} too many`}
                </Mark>
                <span className="face-line" lang={language}>
                  {fits}
                  <mark>{cut}</mark>
                </span>
              </li>
            );
          })}
        </ul>
      )}
    </figure>
  );
}
