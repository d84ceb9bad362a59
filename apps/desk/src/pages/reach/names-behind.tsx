import { type Fleet, unitOf } from '@fillwright/core/fleet';
import type { Place } from '@fillwright/core/reach';
import { formatMinute } from '@fillwright/core/units';
import { Link } from '@tanstack/react-router';
import { nameOf } from '../../data/where.ts';
import { Heads, offPaper, right } from '../../look/heads.tsx';
import { Mark } from '../../look/marks.tsx';
import { benchSearch } from '../../reach/bench-search.ts';
import type { NamesRow } from '../../reach/names.ts';
import { useNames } from '../../reach/use-reach.ts';
import { countText, limitNumber, plural } from '../../show/amounts.ts';
import { dayName } from '../../show/week-blocks.ts';
import { WeekMinute } from '../../show/week-minute.tsx';

const FIRST = 8;

interface Cell {
  readonly hose: string;
  readonly minute: number;
}

/** Who may draw at one minute of the week: names, how much, by which rule, and how many they are. */
export function NamesBehind(
  props: { fleet: Fleet; today: number; place: Place; move: (cell: Cell | undefined) => void } & Cell,
) {
  const { fleet, today, place, hose, minute, move } = props;
  const worked = useNames(fleet, today, { place, hose, minute });
  const names = worked.answer?.kind === 'names' ? worked.answer.names : undefined;
  const day = Math.floor(minute / 1440);
  const count = (kind: NamesRow['kind']) =>
    names?.rows.filter((r) => r.kind === kind).reduce((n, r) => n + r.count, 0) ?? 0;
  const counted = [
    count('drivers') > 0 && plural(count('drivers'), 'driver'),
    count('vehicles') > 0 && plural(count('vehicles'), 'vehicle'),
  ].filter(Boolean);
  return (
    <section className="week-names stack" aria-label="Names behind the cell">
      <WeekMinute minute={minute} move={(to) => move(to === undefined ? undefined : { hose, minute: to })} />
      <p role="status">
        {worked.working || !names ? (
          'Looking for the names …'
        ) : (
          <>
            <strong>
              {dayName(day)} {formatMinute(names.from % 1440)} to {formatMinute(((names.to - 1) % 1440) + 1)},{' '}
              {nameOf(fleet, 'hoses', names.hose)}
            </strong>
            : {counted.length === 0 ? 'nobody may draw.' : `${counted.join(' and ')} may draw, at most:`}
          </>
        )}
      </p>
      {worked.answer?.kind === 'failed' && <Mark is="error">{worked.answer.sentence}</Mark>}
      {names && names.rows.length > 0 && (
        <table className="table">
          <caption className="unseen">Names behind the cell</caption>
          <Heads
            of={['Who', right('Count'), 'How', right(`Up to (${unitOf(fleet.settings)})`), 'By', offPaper('Bench')]}
          />
          <tbody>
            {names.rows.map((r) => (
              <tr key={`${r.kind} ${r.room} ${r.by} ${r.alone}`}>
                <td>
                  <Named row={r} />
                </td>
                <td className="number">{countText(r.count)}</td>
                <td>{howOf(r, place)}</td>
                <td className="number">{limitNumber(fleet, r.room)}</td>
                <td>{r.by}</td>
                <td className="no-print">
                  {r.cards.length > 0 && (
                    <Link to="/bench" search={benchOf(fleet, place, hose, minute % 1440, r)}>
                      Try the first
                    </Link>
                  )}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </section>
  );
}

function Named({ row: { names, count } }: { row: NamesRow }) {
  if (count <= FIRST + 2) return names.join(', ');
  const rest = count - FIRST;
  return (
    <details>
      <summary data-names>
        {names.slice(0, FIRST).join(', ')} and {countText(rest)} more
      </summary>
      {names.slice(FIRST).join(', ')}
      {count > names.length && ` and ${countText(count - names.length)} more that are not listed`}
    </details>
  );
}

function howOf({ kind, alone }: NamesRow, { driver, vehicle, department }: Place): string {
  if (alone) return 'alone';
  if (department === null && driver !== null && vehicle !== null) return 'both together';
  if (department === null && (driver !== null || vehicle !== null)) return 'together with them';
  return kind === 'drivers' ? 'with a vehicle' : 'with a driver';
}

const benchOf = (fleet: Fleet, { site }: Place, hose: string, minute: number, { day, cards }: NamesRow) =>
  benchSearch({ site, hose, zone: fleet.sites.get(site)?.zone, moment: { day, minute }, cards });
