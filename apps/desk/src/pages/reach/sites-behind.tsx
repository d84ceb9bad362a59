import { type Fleet, unitOf } from '@fillwright/core/fleet';
import type { Here } from '@fillwright/core/reach';
import { formatMinute } from '@fillwright/core/units';
import { Link } from '@tanstack/react-router';
import { nameOf } from '../../data/where.ts';
import { Heads, right } from '../../look/heads.tsx';
import { limitNumber } from '../../show/amounts.ts';
import { blocksOf, dayName, timesOf } from '../../show/week-blocks.ts';

/** Where a product may be drawn at one minute of the week, each by its own clock; the names stand on the map of each site. */
export function SitesBehind(props: { fleet: Fleet; here: Here; product: string; minute: number; close: () => void }) {
  const { fleet, here, product, minute, close } = props;
  const open = here.sites.flatMap((s) => {
    const stretch = s.stretches.find((t) => t.from <= minute && minute < t.to);
    return s.product === product && s.nothing === null && stretch && stretch.room > 0 ? [{ ...s, ...stretch }] : [];
  });
  return (
    <section className="reach-names stack" aria-label="Sites behind the cell">
      <div className="spread">
        <p role="status">
          <strong>
            {dayName(Math.floor(minute / 1440))} {formatMinute(minute % 1440)}
          </strong>
          , by the clock of each site: {open.length === 0 ? 'nothing may be drawn.' : 'up to'}
        </p>
        <button type="button" className="button plain no-print" onClick={close}>
          Close
        </button>
      </div>
      {open.length > 0 && (
        <SiteTable
          fleet={fleet}
          here={here}
          rows={open.map((s) => ({ ...s, times: '' }))}
          caption="Sites behind the cell"
        />
      )}
    </section>
  );
}

interface Row {
  readonly site: string;
  readonly hoses: readonly string[];
  readonly product: string;
  readonly room: number;
  readonly by: string;
  readonly times: string;
}

/** What every site gives, the most of it and when. */
export function EverySite({ fleet, here, products }: { fleet: Fleet; here: Here; products: ReadonlySet<string> }) {
  const rows = here.sites
    .filter((s) => products.has(s.product))
    .map((s): Row => {
      const most = Math.max(0, ...s.stretches.map((t) => t.room));
      const open = s.stretches.filter((t) => t.room > 0);
      const by = s.nothing ?? open.find((t) => t.room === most)?.by ?? '';
      return { ...s, room: s.nothing === null ? most : 0, by, times: timesOf(open.flatMap(blocksOf)) };
    });
  return (
    <section className="panel stack" aria-labelledby="reach-every">
      <h2 id="reach-every">At every site</h2>
      <SiteTable {...{ fleet, here, rows }} caption="At every site" />
    </section>
  );
}

function SiteTable(props: { fleet: Fleet; here: Here; rows: readonly Row[]; caption: string }) {
  const { fleet, here, rows, caption } = props;
  const { driver, vehicle, department } = here.place;
  const who = Object.fromEntries(Object.entries({ driver, vehicle, department }).filter(([, id]) => id !== null));
  const timed = rows.some((r) => r.times !== '');
  return (
    <div className="table-scroll">
      <table className="table">
        <caption className="unseen">{caption}</caption>
        <Heads of={['Site', 'Product', 'Hoses', right(`Up to (${unitOf(fleet.settings)})`), timed && 'When', 'By']} />
        <tbody>
          {rows.map((r) => (
            <tr key={`${r.site} ${r.hoses.join()}`}>
              <th scope="row">
                <Link to="/reach" search={{ ...who, site: r.site, what: `hose:${r.hoses[0]}` }}>
                  {nameOf(fleet, 'sites', r.site)}
                </Link>
              </th>
              <td>{r.product}</td>
              <td>{r.hoses.map((id) => fleet.hoses.get(id)?.number ?? id).join(', ')}</td>
              <td className="number">{r.room === 0 ? 'nothing' : limitNumber(fleet, r.room)}</td>
              {timed && <td>{r.times}</td>}
              <td>{r.by}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
