import { type AnyRow, type Field, type Fleet, rowsOf } from '@fillwright/core/fleet';
import { Link } from '@tanstack/react-router';
import { useDeferredValue } from 'react';
import { placeOf, useDraft } from '../../data/index.ts';
import { RecordEditor } from '../../field/record-editor.tsx';
import { Touched } from '../../reach/touched.tsx';

const counts = (field: Field, row: AnyRow): boolean => field.name !== 'share' || row.cutOff === 'share';

/** An allowance, and beside it whom a change of it touches. */
export function AllowancePanel({ id }: { id: string }) {
  return (
    <>
      <RecordEditor table="allowances" id={id} counts={counts} />
      <section>
        <h3>Given to</h3>
        <Holders id={id} table="drivers" />
        <Holders id={id} table="vehicles" />
      </section>
      <Touched table="allowances" id={id} />
    </>
  );
}

const MOST_NAMES = 6;

function Holders({ id, table }: { id: string; table: 'drivers' | 'vehicles' }) {
  const fleet = useDeferredValue(useDraft().fleet);
  const holders = holdersOf(fleet, table, id);
  return (
    <p>
      {holders.length} {table}
      {holders.length > 0 && ': '}
      {holders.slice(0, MOST_NAMES).map((row, i) => (
        <span key={row.id}>
          {i > 0 && ', '}
          <Link {...placeOf(table, row.id)}>{String(row.name)}</Link>
        </span>
      ))}
      {holders.length > MOST_NAMES && ` and ${holders.length - MOST_NAMES} more`}
    </p>
  );
}

const holdersOf = (fleet: Fleet, table: 'drivers' | 'vehicles', allowance: string): AnyRow[] =>
  [...rowsOf(fleet, table).values()].filter((row) => (row.allowances as readonly string[]).includes(allowance));
