import { Link } from '@tanstack/react-router';
import { Heads, right } from '../../look/heads.tsx';
import type { Compared } from '../../reach/compared.ts';
import { countText } from '../../show/amounts.ts';

const FIRST = 40;

/** The same difference by site. */
export function AtSites({ sites }: { sites: Compared['sites'] }) {
  if (sites.length === 0) return null;
  return (
    <section className="panel stack" aria-labelledby="compare-sites">
      <h2 id="compare-sites">At every site</h2>
      <div className="table-scroll">
        <table className="table">
          <Heads of={['Site', right('Gained'), right('Raised'), right('Lost'), right('Lowered')]} />
          <tbody>
            {sites.slice(0, FIRST).map((s) => (
              <tr key={s.site}>
                <th scope="row">
                  <Link to="." search={((old: Record<string, string>) => ({ ...old, site: s.site })) as never}>
                    {s.name}
                  </Link>
                </th>
                <td className="number">{countText(s.gained)}</td>
                <td className="number">{countText(s.raised)}</td>
                <td className="number">{countText(s.lost)}</td>
                <td className="number">{countText(s.lowered)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <p className="small quiet">
        Points.
        {sites.length > FIRST
          ? ` The ${FIRST} sites with the most of ${sites.length}; choose one above to see another.`
          : ''}
      </p>
    </section>
  );
}
