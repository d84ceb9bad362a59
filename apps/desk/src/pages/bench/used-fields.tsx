import type { Used } from '@fillwright/core/decide';
import { problem } from '@fillwright/core/errors';
import { type Fleet, shortestVolume, unitOf } from '@fillwright/core/fleet';
import { parseVolume } from '@fillwright/core/units';
import { TextEntry } from '../../field/text-entry.tsx';
import { holderName } from './outcome.tsx';
import { NOTHING_USED, type Trial, usedKey } from './trial.ts';

const PERIODS = [
  ['day', 'Used today'],
  ['week', 'Used this week'],
  ['month', 'Used this month'],
] as const;

/** What the holders have drawn so far under their allowances, to try the counters. */
export function UsedFields({
  fleet,
  who,
  trial,
  onChange,
}: {
  fleet: Fleet;
  who: { driver?: string; vehicle?: string };
  trial: Trial;
  onChange: (part: Partial<Trial>) => void;
}) {
  const unit = unitOf(fleet.settings);
  const driver = who.driver === undefined ? undefined : fleet.drivers.get(who.driver);
  const vehicle = who.vehicle === undefined ? undefined : fleet.vehicles.get(who.vehicle);
  const rows = [
    ...(driver?.allowances ?? []).map((a) => [`driver:${driver?.id}`, a] as const),
    ...(vehicle?.allowances ?? []).map((a) => [`vehicle:${vehicle?.id}`, a] as const),
  ];
  const counter = vehicle && vehicle.counter !== 'none' ? vehicle : undefined;
  if (rows.length === 0 && !counter)
    return <p className="quiet small">Present somebody who holds an allowance to set what they have used.</p>;
  const set = (key: string, part: Partial<Used>) =>
    onChange({ used: { ...trial.used, [key]: { ...NOTHING_USED, ...trial.used[key], ...part } } });
  return (
    <div className="stack">
      {rows.map(([holder, allowance]) => {
        const key = usedKey(holder, allowance);
        const used = trial.used[key] ?? NOTHING_USED;
        const name = `${fleet.allowances.get(allowance)?.name ?? allowance} of ${holderName(fleet, holder)}`;
        return (
          <fieldset key={key} className="bench-used">
            <legend className="small">{name}</legend>
            {PERIODS.map(([period, label]) => (
              <Entry
                key={period}
                label={`${label} (${unit})`}
                whole={`${label}, ${name}`}
                text={shortestVolume(used[period], unit)}
                commit={(text) => {
                  const volume = parseVolume(text === '' ? '0' : text, unit);
                  if (volume === undefined || volume < 0)
                    return problem('FW-802', {
                      expected: `${unit === 'gal' ? 'gallons' : 'litres'}, three decimals at most`,
                    });
                  set(key, { [period]: volume });
                  return undefined;
                }}
              />
            ))}
            <Entry
              label="Fills today"
              whole={`Fills today, ${name}`}
              text={String(used.fillsToday)}
              commit={(text) => {
                if (!/^\d{0,4}$/.test(text.trim())) return problem('FW-802', { expected: 'a whole number' });
                set(key, { fillsToday: Number(text) });
                return undefined;
              }}
            />
          </fieldset>
        );
      })}
      {counter && (
        <Entry
          label={counter.counter === 'hours' ? 'Last engine hours' : 'Last odometer'}
          whole={`Last reading of ${counter.name}`}
          text={trial.readings[counter.id] === undefined ? '' : String(trial.readings[counter.id])}
          commit={(text) => {
            if (!/^\d{0,9}$/.test(text.trim())) return problem('FW-802', { expected: 'a whole number, or nothing' });
            const { [counter.id]: _, ...others } = trial.readings;
            onChange({ readings: text.trim() === '' ? others : { ...others, [counter.id]: Number(text) } });
            return undefined;
          }}
        />
      )}
    </div>
  );
}

function Entry(props: {
  label: string;
  /** With whose it is, for those who do not see where it stands. */
  whole: string;
  text: string;
  commit: (text: string) => ReturnType<typeof problem> | undefined;
}) {
  return (
    <div className="field">
      <span className="field-label" aria-hidden="true">
        {props.label}
      </span>
      <TextEntry label={props.whole} text={props.text} commit={props.commit} />
    </div>
  );
}
