import { type Fleet, type Hose, unitOf } from '@fillwright/core/fleet';
import { formatDecimal } from '@fillwright/core/units';
import { useState } from 'react';
import { useAsk } from '../../data/hub.ts';
import { byName, Choice } from '../../field/choice.tsx';
import { volumeText } from '../../show/amounts.ts';
import { siteMoment } from '../../show/site-time.ts';

const DAY_MS = 86_400_000;

const tanksFor = (fleet: Fleet, hose: Hose) =>
  [...fleet.tanks.values()].filter((t) => t.site === hose.site && t.product === hose.product);

/** The tank that test fuel of a hose usually goes back to: the one that feeds it; '' where there is none. */
export function usualTank(fleet: Fleet, hose: Hose): string {
  const tanks = tanksFor(fleet, hose);
  const feeding = fleet.pumps.get(hose.pump)?.tanks[0];
  return tanks.find((t) => t.id === feeding)?.id ?? tanks[0]?.id ?? '';
}

/** Where the fuel of a run goes, and which fills of the ledger were drawn for it and are no sale. */
export function TestFuel(props: {
  fleet: Fleet;
  hose: Hose;
  /** What was drawn in all, thousandths of the fleet's unit. */
  drawnMilli: number;
  tank: string;
  chooseTank: (tank: string) => void;
  fills: readonly string[];
  chooseFills: (fills: readonly string[]) => void;
}) {
  const { fleet, hose, fills, chooseFills } = props;
  const zone = fleet.sites.get(hose.site)?.zone ?? 'UTC';
  const [since] = useState(() => Math.floor((Date.now() - DAY_MS) / 60_000) * 60_000);
  const ledger = useAsk('fills', { query: { site: hose.site, from: since, limit: 200 } });
  const drawn = (ledger.data?.fills ?? []).filter((f) => f.hose === hose.id && f.proving === null && f.volume > 0);
  return (
    <>
      <div className="proving-fields">
        <Choice
          label="Goes back to"
          items={[['', 'no tank'], ...byName(tanksFor(fleet, hose))]}
          value={props.tank}
          choose={props.chooseTank}
        />
        <p className="small quiet">
          {formatDecimal(props.drawnMilli, 3)} {unitOf(fleet.settings)} in all. It stands in that tank’s book as no
          sale. The wrong tank spoils its product: look twice.
        </p>
      </div>
      {drawn.length > 0 && (
        <fieldset className="proving-fills">
          <legend>Fills of the last day drawn for this run: no sale</legend>
          {drawn.map((f) => (
            <label key={f.id} className="row">
              <input
                type="checkbox"
                checked={fills.includes(f.id)}
                onChange={(e) => chooseFills(e.target.checked ? [...fills, f.id] : fills.filter((id) => id !== f.id))}
              />
              {siteMoment(f.startedAt, zone)}, {volumeText(fleet, f.volume, 3)}, {f.driverName || f.vehicleName}
            </label>
          ))}
        </fieldset>
      )}
    </>
  );
}
