import type { Fleet } from '@fillwright/core/fleet';
import type { Here } from '@fillwright/core/reach';
import { Heads, right } from '../../look/heads.tsx';
import { countText } from '../../show/amounts.ts';
import { hosesWords } from './week-map.tsx';

/** How many of the whole roster can draw at this site at some time. */
export function Counts({ fleet, here }: { fleet: Fleet; here: Here }) {
  if (here.counts.length === 0) return <p>No hose of this site is in service.</p>;
  return (
    <section className="panel stack" aria-labelledby="reach-counts">
      <h2 id="reach-counts">Who of the fleet can draw here</h2>
      <div className="table-scroll">
        <table className="table">
          <Heads
            of={[
              'Hoses',
              'Product',
              right('Drivers alone'),
              right('Drivers with a vehicle only'),
              right('Drivers never'),
              right('Vehicles alone'),
            ]}
          />
          <tbody>
            {here.counts.map((c) => (
              <tr key={c.hoses.join()}>
                <th scope="row">{hosesWords(fleet, c.hoses)}</th>
                <td>{c.product}</td>
                <td className="number">{countText(c.driversAlone)}</td>
                <td className="number">{countText(c.driversWithVehicle)}</td>
                <td className="number">{countText(c.driversNever)}</td>
                <td className="number">{countText(c.vehiclesAlone)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <p className="small quiet">
        At some minute of the coming year, with credentials that the roster has. ‘With a vehicle only’: with at least
        one vehicle, but not alone.
      </p>
    </section>
  );
}
