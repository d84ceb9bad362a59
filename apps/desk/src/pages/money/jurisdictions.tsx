import { distancePerUnit, perUnitText, taxableUnits } from '@fillwright/core/accounts';
import { unitOf } from '@fillwright/core/fleet';
import { parseDecimal } from '@fillwright/core/units';
import type { MoneyStatement } from '@fillwright/wire';
import { useState } from 'react';
import { useDraft } from '../../data/draft.ts';
import { volumeNumber } from '../../show/amounts.ts';

/** Fuel by jurisdiction for fuel tax returns, with distances that a person writes in. */
export function Jurisdictions({ s }: { s: MoneyStatement }) {
  const { fleet } = useDraft();
  const [distances, setDistances] = useState<Readonly<Record<string, string>>>({});
  if (s.jurisdictions.length === 0) return null;
  const unit = unitOf(fleet.settings);
  const [far, per] = unit === 'gal' ? ['miles', 'Miles a gallon'] : ['kilometres', 'Kilometres a litre'];
  const whole = (text: string | undefined) => (text ? parseDecimal(text, 0) : undefined);
  const products = [...new Set(s.jurisdictions.map((j) => j.product))];
  const rateOf = (product: string) => {
    const drawn = s.jurisdictions.filter((j) => j.product === product).reduce((sum, j) => sum + j.volume, 0);
    const total = whole(distances[product]);
    return { drawn, perUnit: total === undefined ? undefined : distancePerUnit(total, drawn, unit) };
  };
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
      <h2 id="money-jurisdictions">Fuel by jurisdiction</h2>
      <p className="small quiet">
        For fuel tax returns, without diesel exhaust fluid; what was bought elsewhere is not in it. Whole {far}, which
        stay on this page only. {per}: total {far} by total volume, two decimals; taxable volume in whole{' '}
        {unit === 'gal' ? 'gallons' : 'litres'}.
      </p>
      <div className="strip-scroll">
        <table className="table money-table">
          <caption className="unseen">Fuel by jurisdiction and product</caption>
          <thead>
            <tr>
              <th scope="col">Product</th>
              <th scope="col">Jurisdiction</th>
              <th scope="col" className="number">
                Drawn ({unit})
              </th>
              <th scope="col">Distance ({far})</th>
              <th scope="col" className="number">
                {per}
              </th>
              <th scope="col" className="number">
                Taxable ({unit})
              </th>
            </tr>
          </thead>
          <tbody>
            {products.flatMap((product) => {
              const { drawn, perUnit } = rateOf(product);
              return [
                <tr key={product}>
                  <th scope="row">{product}</th>
                  <td className="quiet">everywhere</td>
                  <td className="number">{volumeNumber(fleet, drawn)}</td>
                  <td>{input(product, `${product}: total distance in ${far}`)}</td>
                  <td className="number">{perUnit === undefined ? '' : perUnitText(perUnit)}</td>
                  <td />
                </tr>,
                ...s.jurisdictions
                  .filter((j) => j.product === product)
                  .map((j) => {
                    const key = JSON.stringify([product, j.jurisdiction]);
                    const name = j.jurisdiction || 'none named';
                    const taxed = whole(distances[key]);
                    const used =
                      taxed === undefined || perUnit === undefined ? undefined : taxableUnits(taxed, perUnit);
                    return (
                      <tr key={key}>
                        <td />
                        <td>{j.jurisdiction || <span className="quiet">none named</span>}</td>
                        <td className="number">{volumeNumber(fleet, j.volume)}</td>
                        <td>{input(key, `${product}, ${name}: taxable distance in ${far}`)}</td>
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
