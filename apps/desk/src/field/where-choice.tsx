import { useWhere } from '../data/where.ts';

interface Look {
  label: string;
  /** The part of the address that keeps it. */
  part: string;
  /** The label stands beside the field, not above it. */
  beside?: boolean;
  /** Classes of the field, and of label and field together. */
  field?: string;
  whole?: string;
}

const classes = (...names: (string | undefined)[]) => names.filter(Boolean).join(' ');

const wholeOf = ({ beside, whole }: Look) => classes(beside ? 'row' : 'field', whole);
const wordsOf = ({ beside }: Look) => (beside ? undefined : 'field-label');

/** One of some, or all: what a list shows, kept in the address. */
export function WhereChoice(props: Look & { items: readonly (readonly [value: string, words: string])[] }) {
  const [where, change] = useWhere();
  const { part, field, items } = props;
  return (
    <label className={wholeOf(props)}>
      <span className={wordsOf(props)}>{props.label}</span>
      <select
        className={classes('input', field)}
        value={where[part] ?? ''}
        onChange={(e) => change({ [part]: e.target.value || undefined })}
      >
        <option value="">all</option>
        {items.map(([value, words]) => (
          <option key={value} value={value}>
            {words}
          </option>
        ))}
      </select>
    </label>
  );
}

/** A text that narrows a list, kept in the address. */
export function WhereSearch(props: Look & { maxLength?: number; placeholder?: string }) {
  const [where, change] = useWhere();
  const { part, field, maxLength, placeholder } = props;
  return (
    <label className={wholeOf(props)}>
      <span className={wordsOf(props)}>{props.label}</span>
      <input
        className={classes('input', field)}
        type="search"
        maxLength={maxLength}
        placeholder={placeholder}
        value={where[part] ?? ''}
        onChange={(e) => change({ [part]: e.target.value || undefined })}
      />
    </label>
  );
}

/** Records by name, as choices. */
export const namedItems = (rows: ReadonlyMap<string, { readonly id: string; readonly name: string }>) =>
  [...rows.values()].map((r) => [r.id, r.name] as const);
