import type { Problem } from '@fillwright/core/errors';
import { type Field, type Fleet, formatValue, parseValue, type Window } from '@fillwright/core/fleet';
import { useId } from 'react';
import { nameOf } from '../data/where.ts';
import { recordOptions, zoneOptions } from './suggest.ts';
import { TextEntry } from './text-entry.tsx';
import { WeekEditor } from './week-editor.tsx';

export interface FieldInputProps {
  readonly field: Field;
  readonly value: unknown;
  readonly fleet: Fleet;
  /** Takes a value that the field may have; a problem says why it was not taken. */
  readonly onValue: (value: unknown) => Problem | undefined;
  readonly disabled?: boolean;
  /** Hears a text of several lines while it is typed; undefined when that is given up. */
  readonly onTyping?: (text: string | undefined) => void;
  /** Instead of the field's own label, where several alike stand together. */
  readonly label?: string;
}

/** The lines of a text as they are kept. An empty line is wanted between lines of a receipt; a blank keeps it. */
export function linesIn(text: string): string[] {
  const lines = text.split('\n').map((line) => line.trimEnd());
  while (lines.at(-1) === '') lines.pop();
  return lines.map((line) => (line === '' ? ' ' : line));
}

/** The editor of one field by its kind, with its label, and quietly below it what it means and why it starts as it does. */
export function FieldInput(props: FieldInputProps) {
  const { field, fleet } = props;
  const note = useId();
  const label = props.label ?? field.label;
  const said = noteOf(field, fleet);
  const own = field.kind === 'flag';
  return (
    <div className={`field kind-${field.kind}${isLong(field) ? ' long' : ''}`}>
      {!own && (
        <span className="field-label" aria-hidden="true">
          {label}
        </span>
      )}
      <Control {...props} label={label} note={said === '' ? undefined : note} />
      {said !== '' && (
        <p className="field-note small" id={note}>
          {said}
        </p>
      )}
    </div>
  );
}

/** Choices in long words need the whole width of a narrow panel. */
const isLong = (field: Field): boolean => Object.values(field.choices ?? {}).some((words) => words.length > 18);

/** 'As painted on the island.' 'Starts at 15 s. Fifteen seconds a question: common practice, no source.' */
function noteOf(field: Field, fleet: Fleet): string {
  const starts =
    field.reason === undefined ? '' : `Starts at ${formatValue(field, field.start, fleet)}. ${field.reason}`;
  return [field.help, starts].filter(Boolean).join(' ');
}

function Control(props: FieldInputProps & { label: string; note: string | undefined }) {
  const { field, value, fleet, onValue, onTyping, disabled = false, label, note } = props;
  const commit = (text: string) => {
    const parsed = parseValue(field, text, fleet);
    return parsed.ok ? onValue(parsed.value) : parsed.error;
  };
  switch (field.kind) {
    case 'flag':
      return (
        <label className="flag">
          <input
            type="checkbox"
            checked={value === true}
            disabled={disabled}
            aria-describedby={note}
            onChange={(e) => onValue(e.target.checked)}
          />
          <span>{label}</span>
        </label>
      );
    case 'choice':
      return (
        <select
          className="input"
          aria-label={label}
          aria-describedby={note}
          value={String(value)}
          disabled={disabled}
          onChange={(e) => onValue(e.target.value)}
        >
          {Object.entries(field.choices ?? {}).map(([key, words]) => (
            <option key={key} value={key}>
              {words}
            </option>
          ))}
        </select>
      );
    case 'refs':
      return <RefsControl {...props} />;
    case 'choices':
      return <ChoicesControl {...props} />;
    case 'windows':
      return (
        <>
          <TextEntry
            label={label}
            text={formatValue(field, value, fleet)}
            commit={commit}
            disabled={disabled}
            describedBy={note}
          />
          <WeekEditor label={label} value={value as Window[] | null} onValue={onValue} disabled={disabled} />
        </>
      );
    case 'chart':
      return (
        <TextEntry
          label={label}
          lines
          text={value === null ? '' : formatValue(field, value, fleet).replaceAll('; ', '\n').replace(': ', ':\n')}
          commit={commit}
          onTyping={onTyping}
          placeholder={field.empty}
          disabled={disabled}
          describedBy={note}
        />
      );
    case 'texts':
      return (
        <TextEntry
          label={label}
          lines
          text={(value as string[]).join('\n')}
          commit={(text) => onValue(linesIn(text))}
          onTyping={onTyping}
          disabled={disabled}
          describedBy={note}
        />
      );
    default: {
      const options =
        field.kind === 'zone'
          ? zoneOptions()
          : field.kind === 'ref' && field.ref
            ? recordOptions(fleet, field.ref)
            : undefined;
      const text =
        value === null || value === undefined
          ? ''
          : field.kind === 'ref' && field.ref
            ? nameOf(fleet, field.ref, String(value))
            : formatValue(field, value, fleet);
      return (
        <TextEntry
          label={label}
          text={text}
          commit={commit}
          {...(options ? { options } : {})}
          placeholder={field.empty}
          disabled={disabled}
          describedBy={note}
        />
      );
    }
  }
}

/** Some of a list, in an order that counts: switches, and which stands first. */
function ChoicesControl({
  field,
  value,
  onValue,
  disabled = false,
  label,
  note,
}: FieldInputProps & { label: string; note: string | undefined }) {
  const chosen = value as readonly string[];
  const choices = Object.entries(field.choices ?? {});
  return (
    // biome-ignore lint/a11y/useSemanticElements: a fieldset draws and sizes itself in its own way
    <div className="refs" role="group" aria-label={label} aria-describedby={note}>
      {choices.map(([key, words]) => (
        <label className="flag" key={key}>
          <input
            type="checkbox"
            checked={chosen.includes(key)}
            disabled={disabled || (chosen.length === 1 && chosen[0] === key)}
            onChange={(e) => onValue(e.target.checked ? [...chosen, key] : chosen.filter((c) => c !== key))}
          />
          <span>{words}</span>
        </label>
      ))}
      {chosen.length > 1 && (
        <label className="row">
          <span>First</span>
          <select
            className="input"
            aria-label={`${label}: first`}
            value={chosen[0]}
            disabled={disabled}
            onChange={(e) => onValue([e.target.value, ...chosen.filter((c) => c !== e.target.value)])}
          >
            {chosen.map((key) => (
              <option key={key} value={key}>
                {field.choices?.[key] ?? key}
              </option>
            ))}
          </select>
        </label>
      )}
    </div>
  );
}

/** Several records as a list of names, each with a way out, and an entry that adds one. */
function RefsControl({
  field,
  value,
  fleet,
  onValue,
  disabled = false,
  label,
  note,
}: FieldInputProps & { label: string; note: string | undefined }) {
  const table = field.ref;
  if (!table) return null;
  const ids = value as string[] | null;
  const open = (ids ?? []) as readonly string[];
  const options = recordOptions(fleet, table).filter((o) => !open.includes(o.value));
  const nullable = field.empty !== undefined;
  return (
    // biome-ignore lint/a11y/useSemanticElements: a fieldset draws and sizes itself in its own way
    <div className="refs" role="group" aria-label={label} aria-describedby={note}>
      {nullable && (
        <label className="flag">
          <input
            type="checkbox"
            checked={ids === null}
            disabled={disabled}
            onChange={(e) => onValue(e.target.checked ? null : [])}
          />
          <span>
            {label}: {field.empty}
          </span>
        </label>
      )}
      {ids !== null && (
        <>
          {open.length > 0 && (
            <ul className="chips">
              {open.map((id) => (
                <li key={id} className="chip">
                  {nameOf(fleet, table, id)}
                  <button
                    type="button"
                    disabled={disabled}
                    aria-label={`Remove ${nameOf(fleet, table, id)} from ${label}`}
                    onClick={() => onValue(open.filter((other) => other !== id))}
                  >
                    ×
                  </button>
                </li>
              ))}
            </ul>
          )}
          {!disabled && (
            <TextEntry
              label={`Add to ${label}`}
              text=""
              clears
              placeholder={open.length === 0 ? 'none; write to add' : 'write to add'}
              options={options}
              commit={(text) => {
                const parsed = parseValue(field, text, fleet);
                if (!parsed.ok) return parsed.error;
                const added = (parsed.value as string[] | null) ?? [];
                return onValue([...open, ...added.filter((id) => !open.includes(id))]);
              }}
            />
          )}
        </>
      )}
    </div>
  );
}
