import { type AnyRow, type Fleet, fieldsOf } from '@fillwright/core/fleet';
import {
  cutOf,
  type FaceScreen,
  LANGUAGES,
  type Laid,
  type Language,
  planOf,
  REVIEWED,
  sampleReceipt,
  screensOf,
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
import './face.css';

/** Fields of a terminal that are typed here, beside the picture of what they make. */
export const FACE_FIELDS = ['idle', 'receiptHead', 'receiptFoot'] as const;
type FaceField = (typeof FACE_FIELDS)[number];

const LANGUAGE_IDS = Object.keys(LANGUAGES) as Language[];

/** A terminal's display and paper as the box will lay them out, by the same code; also while somebody types. */
export function Face({ terminal }: { terminal: string }) {
  const { fleet } = useDraft();
  const now = useNow(60_000);
  const [typed, setTyped] = useState<Partial<Record<FaceField, readonly string[]>>>({});
  const [chosen, setChosen] = useState('idle');
  const row = fleet.terminals.get(terminal);
  if (!row) return null;
  const { site } = row;
  const shown = { ...fleet, terminals: new Map(fleet.terminals).set(terminal, { ...row, ...typed } as typeof row) };
  const plan = planOf(shown, site, 0);
  const own = plan?.terminals[terminal];
  const most = Math.max(
    0,
    ...[...fleet.hoses.values()].filter((h) => h.terminals.includes(terminal)).map((h) => h.mostPerFill),
  );
  const faces = (plan && screensOf(plan, terminal, most)) ?? [];
  const face = faces.find((f) => f.id === chosen) ?? faces[0];
  if (!own || !face) return null;
  const isCut = (f: FaceScreen) => shownIn(f, own).some((s) => s.laid.overflow.length > 0);
  const cut = new Set(faces.filter(isCut).map((f) => f.id));
  const zone = fleet.sites.get(site)?.zone ?? 'UTC';
  const time = { at: now, text: siteMoment(now, zone).slice(0, 16), day: Math.floor(now / 86_400_000) };
  return (
    <section className="panel face" aria-label="Display and receipt">
      <div className="spread">
        <h2>Display and receipt</h2>
        <label className="row">
          <span>Screen</span>
          <select className="input" value={face.id} onChange={(e) => setChosen(e.target.value)}>
            {faces.map((f) => (
              <option key={f.id} value={f.id}>
                {sentenceOf(f.screen, 'en', f.data)}
                {cut.has(f.id) ? ' (cut)' : ''}
              </option>
            ))}
          </select>
        </label>
      </div>
      {cut.size === 0 ? (
        <p className="small quiet">
          Every screen fits on {own.columns} columns by {own.rows} rows in every language.
        </p>
      ) : (
        <Mark is="warning">
          {cut.size} of {faces.length} screens {cut.size === 1 ? 'is' : 'are'} cut on {own.columns} columns by{' '}
          {own.rows} rows; the list of screens says which.
        </Mark>
      )}
      <div className="face-row">
        {shownIn(face, own).map(({ language, laid }) => (
          <Picture key={language} kind="glass" language={language} laid={laid} />
        ))}
      </div>
      <div className="face-fields">
        {FACE_FIELDS.map((name) => (
          <FaceText
            key={`${terminal} ${name}`}
            row={row}
            name={name}
            fleet={fleet}
            onTyping={(text) =>
              setTyped(({ [name]: _, ...rest }) => (text === undefined ? rest : { ...rest, [name]: linesIn(text) }))
            }
          />
        ))}
      </div>
      {own.paper === null ? (
        <p className="small quiet">This terminal has no printer.</p>
      ) : (
        <div className="face-row">
          {LANGUAGE_IDS.map((language) => {
            const laid = sampleReceipt(shown, own, site, language, time);
            return laid && <Picture key={language} kind="paper" language={language} laid={laid} />;
          })}
        </div>
      )}
      <p className="small quiet">
        Lines are centred and aligned by the terminal, not by spaces. The receipt is of a full fill by the first driver
        and vehicle of the roster, at today’s price.
      </p>
    </section>
  );
}

interface FaceTextProps {
  readonly row: AnyRow;
  readonly name: FaceField;
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

function Picture({ kind, language, laid }: { kind: 'glass' | 'paper'; language: Language; laid: Laid }) {
  const rows = laid.lines.length;
  return (
    <figure className="face-picture">
      <figcaption className="small quiet">
        {LANGUAGES[language]}
        {REVIEWED[language] ? '' : ', not reviewed by a native speaker'}
      </figcaption>
      <pre className={`face-${kind}`} lang={language}>
        {laid.lines.join('\n')}
      </pre>
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
