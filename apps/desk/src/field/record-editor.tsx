import { type AnyRow, type Field, fieldsOf, rowsOf, TABLES, type TableName } from '@fillwright/core/fleet';
import { Link } from '@tanstack/react-router';
import { useDraft } from '../data/draft.ts';
import { findingsAt, useFindings } from '../data/findings.ts';
import { useMay } from '../data/me.ts';
import { nameOf } from '../data/where.ts';
import { Mark } from '../look/marks.tsx';
import { FieldInput } from './field-input.tsx';
import './field.css';

/** One field of one record of the draft; what is typed is kept at once. */
function FieldEditor({ table, id, field, label }: { table: TableName; id: string; field: Field; label?: string }) {
  const { fleet, edit } = useDraft();
  const may = useMay('editor');
  const row = rowsOf(fleet, table).get(id);
  if (!row) return null;
  return (
    <FieldInput
      field={field}
      value={row[field.name]}
      fleet={fleet}
      disabled={!may}
      {...(label === undefined ? {} : { label })}
      onValue={(value) => {
        const done = edit(
          [{ op: 'set', table, id, fields: { [field.name]: value } }],
          `${field.label} of ${TABLES[table].one} ${nameOf(fleet, table, id)}`,
        );
        return done.ok ? undefined : done.error[0];
      }}
    />
  );
}

export interface RecordEditorProps {
  readonly table: TableName;
  readonly id: string;
  /** Which fields, in which order; all but the id where left out. */
  readonly fields?: readonly string[];
  /** Whether a field counts for this row, such as accepted answers only where they are asked for. */
  readonly counts?: (field: Field, row: AnyRow) => boolean;
  /** False where they stand elsewhere on the page already. */
  readonly findings?: boolean;
}

/** All fields of one record, with the findings that speak of it above them. */
export function RecordEditor({ table, id, fields, counts, findings = true }: RecordEditorProps) {
  const { fleet } = useDraft();
  const row = rowsOf(fleet, table).get(id);
  if (!row) return <p className="quiet">There is no such {TABLES[table].one} any more.</p>;
  const all = fieldsOf(table).filter((f) => f.name !== 'id');
  const shown = fields ? fields.flatMap((name) => all.find((f) => f.name === name) ?? []) : all;
  return (
    <div className="record">
      {findings && <RecordFindings table={table} id={id} />}
      <div className="record-fields">
        {shown.map((field) =>
          counts && !counts(field, row) ? null : (
            <FieldEditor key={`${id} ${field.name}`} table={table} id={id} field={field} />
          ),
        )}
      </div>
    </div>
  );
}

/** The findings of one record as a short list; nothing where there are none. */
function RecordFindings({ table, id }: { table: TableName; id: string }) {
  const found = findingsAt(useFindings(), table, id);
  if (found.length === 0) return null;
  return (
    <ul className="record-findings">
      {found.map((f) => (
        <li key={f.id}>
          <Mark is={f.severity}>{f.title}</Mark>
          <span> {f.mend} </span>
          <Link to="/findings" search={{ id: f.id }}>
            Look
          </Link>
        </li>
      ))}
    </ul>
  );
}
