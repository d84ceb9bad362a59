import { unitOf } from '@fillwright/core/fleet';
import type { MoneyStatement } from '@fillwright/wire';
import { Link } from '@tanstack/react-router';
import { useDraft } from '../../data/draft.ts';
import { Heads, right } from '../../look/heads.tsx';
import { Mark } from '../../look/marks.tsx';
import { milliShown, plural } from '../../show/amounts.ts';

/** Fills that a person should look at before the period is closed. */
export function Odd({ s }: { s: MoneyStatement }) {
  const { fleet } = useDraft();
  if (s.oddCount === 0) return null;
  const penalty = s.odd.some((o) => o.penalty !== null);
  return (
    <section className="panel stack" aria-labelledby="money-odd">
      <h2 id="money-odd">To look at</h2>
      <p className="small quiet">
        {plural(s.oddCount, 'fill')}
        {s.oddCount > s.odd.length ? `, the first ${s.odd.length} shown` : ''}. Late: it came for a day already closed.
        No price: it counts nothing until there is one.
        {penalty &&
          ' Dyed fuel on the road is taxed, and may be penalised: shown is a first act in the United States (26 USC 6715(b)); the authority decides.'}
      </p>
      <div className="strip-scroll">
        <table className="table money-table">
          <caption className="unseen">Fills to look at</caption>
          <Heads
            of={[
              'Date',
              'What',
              'Site',
              'Vehicle',
              'Product',
              right(`Volume (${unitOf(fleet.settings)})`),
              penalty && right('Penalty, first act ($)'),
            ]}
          />
          <tbody>
            {s.odd.map((o) => (
              <tr key={o.fill}>
                <td className="money-date">
                  <Link to="/ledger" search={{ fill: o.fill }}>
                    {o.date}
                  </Link>
                </td>
                <td>{o.note === 'late' ? <Mark is="note">{o.note}</Mark> : <Mark is="warning">{o.note}</Mark>}</td>
                <td>{o.site}</td>
                <td>{o.vehicle}</td>
                <td>{o.product}</td>
                <td className="number">{milliShown(o.milli)}</td>
                {penalty && <td className="number">{o.penalty === null ? '' : `${o.penalty / 10_000}`}</td>}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}
