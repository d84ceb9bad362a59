import { distancePerUnit, perUnitText, taxableUnits } from '@fillwright/core/accounts';
import { unitOf } from '@fillwright/core/fleet';
import { parseDecimal } from '@fillwright/core/units';
import { type MoneyStatement, urlOf } from '@fillwright/wire';
import { useState } from 'react';
import { useDraft } from '../../data/draft.ts';
import { Heads, right } from '../../look/heads.tsx';
import { centsShown, milliShown } from '../../show/amounts.ts';

type Rows = MoneyStatement['jurisdictions'];

/** Fuel by jurisdiction for fuel tax returns, with distances that a person writes in. */
export function Jurisdictions({ s }: { s: MoneyStatement }) {
  const { fleet } = useDraft();
  const [distances, setDistances] = useState<Readonly<Record<string, string>>>({});
  if (s.jurisdictions.length === 0) return null;
  const unit = unitOf(fleet.settings);
  const [far, per] = unit === 'gal' ? ['miles', 'Miles a gallon'] : ['kilometres', 'Kilometres a litre'];
  const whole = (text: string | undefined) => (text ? parseDecimal(text, 0) : undefined);
  const products = [...new Set(s.jurisdictions.map((j) => j.product))];
  const { currency } = fleet.settings;
  const back = s.jurisdictions.some((j) => j.back !== null);
  const sumOf = (rows: Rows) => ({
    milli: rows.reduce((sum, j) => sum + j.milli, 0),
    taxes: s.taxes.map((_, i) => rows.reduce((sum, j) => sum + (j.taxes[i] ?? 0), 0)),
  });
  const input = (key: string, label: string) => (
    <input
      className="input money-distance"
      inputMode="numeric"
      autoComplete="off"
      aria-label={label}
      value={distances[key] ?? ''}
      onChange={(e) => setDistances({ ...distances, [key]: e.target.value })}
    />
  );
  return (
    <section className="panel stack" aria-labelledby="money-jurisdictions">
      <div className="row spread">
        <h2 id="money-jurisdictions">Fuel by jurisdiction</h2>
        <a className="button no-print" href={urlOf('fuelCsv', { query: { from: s.from, to: s.to } })} download>
          CSV
        </a>
      </div>
      <p className="small quiet">
        For fuel tax returns, without diesel exhaust fluid; what was bought elsewhere is not in it. Taxes in {currency}.
        Whole {far}, which stay on this page only. {per}: total {far} by total volume, two decimals; taxable volume in
        whole {unit === 'gal' ? 'gallons' : 'litres'}.
        {back && ' What an earlier period charged and turned out to be no sale is taken back on a row of its own.'}
      </p>
      <div className="strip-scroll">
        <table className="table money-table">
          <caption className="unseen">Fuel by jurisdiction and product</caption>
          <Heads
            of={[
              'Product',
              'Jurisdiction',
              right(`Volume (${unit})`),
              ...s.taxes.map((t) => right(t)),
              `Distance (${far})`,
              right(per),
              right(`Taxable (${unit})`),
            ]}
          />
          <tbody>
            {products.flatMap((product) => {
              const rows = s.jurisdictions.filter((j) => j.product === product);
              const sum = sumOf(rows);
              const total = whole(distances[product]);
              const perUnit = total === undefined ? undefined : distancePerUnit(total, sum.milli);
              return [
                <tr key={product}>
                  <th scope="row">{product}</th>
                  <td className="quiet">everywhere</td>
                  <Figures of={sum} />
                  <td>{input(product, `${product}: total distance in ${far}`)}</td>
                  <td className="number">{perUnit === undefined ? '' : perUnitText(perUnit)}</td>
                  <td />
                </tr>,
                ...rows.map((j, i) => {
                  const key = JSON.stringify([product, j.jurisdiction]);
                  const name = j.jurisdiction || 'none named';
                  // Distance belongs to the jurisdiction, not to what was taken back of it.
                  const first = rows[i - 1]?.jurisdiction !== j.jurisdiction;
                  const taxed = first ? whole(distances[key]) : undefined;
                  const used = taxed === undefined || perUnit === undefined ? undefined : taxableUnits(taxed, perUnit);
                  return (
                    <tr key={`${key} ${j.back?.from ?? ''}`}>
                      <td />
                      <td>
                        {j.jurisdiction || <span className="quiet">none named</span>}
                        {j.back && (
                          <div className="small quiet">
                            taken back, charged in <span className="money-date">{j.back.from}</span> to{' '}
                            <span className="money-date">{j.back.to}</span>
                          </div>
                        )}
                      </td>
                      <Figures of={j} />
                      <td>{first && input(key, `${product}, ${name}: taxable distance in ${far}`)}</td>
                      <td />
                      <td className="number">{used ?? ''}</td>
                    </tr>
                  );
                }),
              ];
            })}
          </tbody>
        </table>
      </div>
    </section>
  );
}

const Figures = ({ of }: { of: { readonly milli: number; readonly taxes: readonly number[] } }) => (
  <>
    <td className="number">{milliShown(of.milli)}</td>
    {of.taxes.map((amount, i) => (
      // biome-ignore lint/suspicious/noArrayIndexKey: a tax is known by its place
      <td className="number" key={i}>
        {centsShown(amount)}
      </td>
    ))}
  </>
);
