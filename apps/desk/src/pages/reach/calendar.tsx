import type { Fleet } from '@fillwright/core/fleet';
import type { Here } from '@fillwright/core/reach';
import { formatDate, parseDate } from '@fillwright/core/units';
import { useMemo } from 'react';
import { Heads } from '../../look/heads.tsx';
import { UTC, zoneKnown } from '../../show/site-time.ts';
import { type Dated, datesOf, KINDS } from './dates.ts';

const [LEFT, TOP, ROW, DAY] = [76, 20, 18, 2];
const LANES: Readonly<Record<Dated['kind'], string>> = {
  closed: 'Closed',
  price: 'Price',
  clock: 'Clocks',
  begins: 'First days',
  ends: 'Last days',
};
const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

/** The coming year as a strip: the dates on which what is shown above begins, ends or changes, a lane for each kind, and a list behind it. */
export function Calendar({ fleet, here }: { fleet: Fleet; here: Here }) {
  const { place, horizon } = here;
  const dates = useMemo(
    () => datesOf(fleet, place, horizon, zoneKnown(fleet.sites.get(place.site)?.zone ?? 'UTC') ?? UTC),
    [fleet, place, horizon],
  );
  const [first, last] = [horizon[0] ?? 0, horizon.at(-1) ?? 0];
  const width = LEFT + (last - first + 1) * DAY + 8;
  const height = TOP + KINDS.length * ROW + 4;
  const x = (day: number) => LEFT + (day - first) * DAY;
  return (
    <section className="panel stack" aria-labelledby="reach-dates">
      <h2 id="reach-dates">Dates on which it changes</h2>
      {dates.length === 0 ? (
        <p className="quiet">Nothing begins, ends or changes by a date in the coming year.</p>
      ) : (
        <>
          <figure className="week-map">
            <svg
              viewBox={`0 0 ${width} ${height}`}
              role="img"
              aria-label="Dates on which it changes, over the coming year"
            >
              {monthStarts(first, last).map(({ day, label }) => (
                <g key={day}>
                  <path className="week-tick" d={`M${x(day)} ${TOP - 4} V${height - 4}`} />
                  <text className="week-label" x={x(day) + 3} y={TOP - 8}>
                    {label}
                  </text>
                </g>
              ))}
              {KINDS.map((kind, i) => (
                <text key={kind} className="week-label" x={LEFT - 8} y={TOP + i * ROW + 13} textAnchor="end">
                  {LANES[kind]}
                </text>
              ))}
              {KINDS.map((kind, i) => (
                <path key={kind} className="week-tick" d={`M${LEFT} ${TOP + i * ROW + ROW / 2} H${width - 8}`} />
              ))}
              {dates.map((d) => (
                <g key={`${d.kind} ${d.day} ${d.words}`} className="reach-date">
                  <title>{`${formatDate(d.day)}: ${d.words}`}</title>
                  <rect x={x(d.day) - 1} y={TOP + KINDS.indexOf(d.kind) * ROW + 2} width={4} height={ROW - 4} />
                </g>
              ))}
            </svg>
          </figure>
          <details className="week-behind">
            <summary>The same as a table</summary>
            <table className="table">
              <Heads of={['Day', 'What']} />
              <tbody>
                {dates.map((d) => (
                  <tr key={`${d.kind} ${d.day} ${d.words}`}>
                    <td>{formatDate(d.day)}</td>
                    <td>{d.words}</td>
                  </tr>
                ))}
              </tbody>
            </table>
          </details>
        </>
      )}
    </section>
  );
}

/** First days of the months within the strip, but for one so near its end that its name has no room. */
function monthStarts(first: number, last: number): { day: number; label: string }[] {
  const found: { day: number; label: string }[] = [];
  let [year, month] = formatDate(first).split('-').map(Number) as [number, number];
  for (;;) {
    const day = parseDate(`${year}-${String(month).padStart(2, '0')}-01`);
    if (day === undefined || day > last - 14) return found;
    if (day >= first) found.push({ day, label: month === 1 ? String(year) : (MONTHS[month - 1] ?? '') });
    month = (month % 12) + 1;
    if (month === 1) year++;
  }
}
