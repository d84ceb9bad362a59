import type { Problem } from '@fillwright/core/errors';
import { type Field, type Fleet, formatValue, parseValue } from '@fillwright/core/fleet';
import { useId, useMemo, useState } from 'react';
import { EntryProblem, Offers, offering, stepped } from '../field/offers.tsx';
import { matching, type Option, option, recordOptions, zoneOptions } from '../field/suggest.ts';

export interface CellEditorProps {
  readonly field: Field;
  readonly fleet: Fleet;
  readonly label: string;
  /** What it opens with. */
  readonly start: string;
  /** Takes a value; a problem keeps the cell open. */
  readonly onValue: (value: unknown) => Problem | undefined;
  /** Called once it is done: whether to move on down, right or left, or to stay. */
  readonly onDone: (move: 'down' | 'right' | 'left' | 'stay') => void;
}

const optionsFor = (field: Field, fleet: Fleet): readonly Option[] | undefined => {
  if (field.kind === 'choice') return Object.values(field.choices ?? {}).map((text) => option(text, text));
  if (field.kind === 'flag') return ['yes', 'no'].map((text) => option(text, text));
  if (field.kind === 'zone') return zoneOptions();
  return field.kind === 'ref' && field.ref ? recordOptions(fleet, field.ref) : undefined;
};

/** The value as it is opened for change: what reads back, with nothing where there is none. */
export const editText = (field: Field, value: unknown, fleet: Fleet): string =>
  value === null || value === undefined ? '' : formatValue(field, value, fleet);

/** A cell open for change. Enter and Tab keep it, Escape leaves it as it was, and so does nothing else: leaving keeps it too. */
export function CellEditor({ field, fleet, label, start, onValue, onDone }: CellEditorProps) {
  const id = useId();
  const [text, setText] = useState(start);
  const [typed, setTyped] = useState(false);
  const [at, setAt] = useState(-1);
  const [problem, setProblem] = useState<Problem>();
  const options = useMemo(() => optionsFor(field, fleet), [field, fleet]);
  const offered = options ? matching(options, typed ? text : '') : [];

  const take = (given: string): boolean => {
    const value = parseValue(field, given, fleet);
    const wrong = value.ok ? onValue(value.value) : value.error;
    setProblem(wrong);
    return wrong === undefined;
  };
  const press = (event: React.KeyboardEvent) => {
    event.stopPropagation();
    if (event.key === 'Escape') {
      event.preventDefault();
      onDone('stay');
    } else if (event.key === 'Enter' || event.key === 'Tab') {
      event.preventDefault();
      const chosen = offered[at] ?? (typed && text.trim() !== '' && offered.length === 1 ? offered[0] : undefined);
      if (take(chosen?.value ?? text)) onDone(event.key === 'Enter' ? 'down' : event.shiftKey ? 'left' : 'right');
    } else if (offered.length > 0 && (event.key === 'ArrowDown' || event.key === 'ArrowUp')) {
      event.preventDefault();
      setAt(stepped(at, event.key, offered.length));
    }
  };
  return (
    <div className="cell-editor">
      <input
        // biome-ignore lint/a11y/noAutofocus: a cell is opened in order to write in it
        autoFocus
        aria-label={label}
        aria-invalid={problem !== undefined}
        aria-describedby={problem ? `${id}-problem` : undefined}
        {...(options && offering(id, offered, at))}
        value={text}
        onChange={(e) => {
          setText(e.target.value);
          setTyped(true);
          setAt(-1);
        }}
        onKeyDown={press}
        onBlur={() => {
          if (text === start || take(text)) onDone('stay');
        }}
      />
      <Offers
        {...{ id, label, offered, at }}
        take={(value) => {
          if (take(value)) onDone('stay');
        }}
      />
      <EntryProblem {...{ id, problem }} className="cell-problem" />
    </div>
  );
}
