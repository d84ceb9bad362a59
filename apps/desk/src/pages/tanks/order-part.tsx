import type { Fleet } from '@fillwright/core/fleet';
import { unitOf } from '@fillwright/core/fleet';
import { loadThatFits } from '@fillwright/core/stock';
import type { TankStock } from '@fillwright/wire';
import { useState } from 'react';
import { Heads, right } from '../../look/heads.tsx';
import { Mark } from '../../look/marks.tsx';
import { plural, volumeText } from '../../show/amounts.ts';
import { volumesOf } from './bill.ts';

/** When the tank runs out, when to order, and which of a lorry's compartments fit. */
export function OrderPart({ stock, fleet }: { stock: TankStock; fleet: Fleet }) {
  const unit = unitOf(fleet.settings);
  const [typed, setTyped] = useState('');
  const { runOut } = stock;
  if (!runOut)
    return <p className="quiet">When to order: not known yet. It takes four whole weeks of fills and a level.</p>;
  const { likelyDays: likely, earlyDays: early, orderWithinDays: order } = runOut;
  const compartments = volumesOf(typed, unit);
  const fits = compartments && compartments.length > 0 ? loadThatFits(runOut.room, compartments) : undefined;
  return (
    <div className="stack">
      <h3>When to order</h3>
      <p>
        {order === null ? (
          'No need to order within 28 days.'
        ) : order === 0 ? (
          <Mark is="warning">order today</Mark>
        ) : (
          `Order within ${plural(order, 'day')}.`
        )}{' '}
        {early === null ? '' : `With a chance of one in twenty it is at its low level in ${plural(early, 'day')}`}
        {early === null ? '' : likely === null ? '.' : `; likely in ${plural(likely, 'day')}.`} From order to lorry{' '}
        {plural(runOut.leadDays, 'day')} are supposed. Room to the safe fill now: {volumeText(fleet, runOut.room, 0)}.
      </p>
      <label className="field order-lorry no-print">
        <span className="field-label">Compartments of the lorry ({unit}), with commas</span>
        <input className="input" inputMode="decimal" value={typed} onChange={(e) => setTyped(e.target.value)} />
      </label>
      <p role="status" className="small">
        {typed !== '' && !compartments && 'Write volumes with commas between them, such as 3000, 2500, 2000.'}
        {fits &&
          (fits.volume === 0
            ? 'None of them fits now.'
            : `Compartments ${fits.compartments.map((i) => i + 1).join(', ')} fit: ${volumeText(fleet, fits.volume, 0)}.`)}
      </p>
      <p className="small quiet">
        The room must be more than what is delivered, looked at before the drop, and somebody must watch it (40 CFR
        280.30(a)). The overfill device and the person at the tank decide.
      </p>
      <details className="small">
        <summary>What is likely to be drawn, as a table</summary>
        <table className="table">
          <caption className="unseen">Drawn until the end of each day, with its chances</caption>
          <Heads of={['Until the end of', right('At least (95 %)'), right('Likely'), right('At most (95 %)')]} />
          <tbody>
            {runOut.ahead.map((d) => (
              <tr key={d.date}>
                <td>{d.date}</td>
                <td className="number">{volumeText(fleet, d.low, 0)}</td>
                <td className="number">{volumeText(fleet, d.middle, 0)}</td>
                <td className="number">{volumeText(fleet, d.high, 0)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </details>
    </div>
  );
}
