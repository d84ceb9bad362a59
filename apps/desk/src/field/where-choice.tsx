import { useWhere } from '../data/where.ts';
import { Choice, classes, type Items, type Labelled, labelOf, wholeOf } from './choice.tsx';

/** One of some, or all: what a list shows, kept in the part of the address. */
export function WhereChoice(props: Labelled & { part: string; items: Items }) {
  const [where, change] = useWhere();
  const { part, items, ...look } = props;
  return (
    <Choice
      {...look}
      items={[['', 'all'], ...items]}
      value={where[part] ?? ''}
      choose={(value) => change({ [part]: value || undefined })}
    />
  );
}

/** A text that narrows a list, kept in the address. */
export function WhereSearch(props: Labelled & { part: string; maxLength?: number; placeholder?: string }) {
  const [where, change] = useWhere();
  const { part, field, maxLength, placeholder } = props;
  return (
    <label className={wholeOf(props)}>
      <span className={labelOf(props)}>{props.label}</span>
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
