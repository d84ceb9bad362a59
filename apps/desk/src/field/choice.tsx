import type { Fleet, RowOf } from '@fillwright/core/fleet';
import type { ReactNode } from 'react';
import { nameOf } from '../data/name-of.ts';

/** What can be chosen: what is kept, and the words for it. */
export type Items<V extends string = string> = readonly (readonly [value: V, words: string])[];

export interface Labelled {
  label: string;
  /** The label stands beside the field, not above it. */
  beside?: boolean;
  /** Classes of the field, and of label and field together. */
  field?: string;
  whole?: string;
}

export const classes = (...names: (string | undefined)[]) => names.filter(Boolean).join(' ');
export const wholeOf = ({ beside, whole }: Labelled) => classes(beside ? 'row' : 'field', whole);
export const labelOf = ({ beside }: Labelled) => (beside ? undefined : 'field-label');

/** One of some, under its label; what stands between the tags is a note below. */
export function Choice<V extends string>(
  props: Labelled & {
    items: Items<V>;
    value: V;
    choose: (value: V) => void;
    disabled?: boolean;
    children?: ReactNode;
  },
) {
  const { label, field, items, value, choose, disabled, children } = props;
  return (
    <label className={wholeOf(props)}>
      <span className={labelOf(props)}>{label}</span>
      <select
        className={classes('input', field)}
        value={value}
        disabled={disabled}
        onChange={(e) => choose(e.target.value as V)}
      >
        {items.map(([one, words]) => (
          <option key={one} value={one}>
            {words}
          </option>
        ))}
      </select>
      {children}
    </label>
  );
}

/** Rows by their names. */
export const byName = (rows: Iterable<{ readonly id: string; readonly name: string }>): Items =>
  [...rows].map(({ id, name }) => [id, name]);

/** The hoses of a site by their numbers. */
export const hosesAt = (fleet: Fleet, site: string): RowOf<'hoses'>[] =>
  [...fleet.hoses.values()].filter((h) => h.site === site).sort((a, b) => a.number - b.number);

/** Hoses as '2, Diesel'. */
export const byNumber = (fleet: Fleet, hoses: readonly RowOf<'hoses'>[]): Items =>
  hoses.map((h) => [h.id, `${h.number}, ${nameOf(fleet, 'products', h.product)}`]);
