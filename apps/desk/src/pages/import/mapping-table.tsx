import type { Staged } from '@fillwright/wire';
import { Choice, type Items } from '../../field/choice.tsx';
import { Heads } from '../../look/heads.tsx';
import { Going } from '../../show/going.tsx';
import { type Mapping, TARGETS, targetKey, withTarget } from './mapping.ts';

const CARD_OF: Items<Mapping['cardOf']> = [
  ['driver', 'the driver'],
  ['vehicle', 'the vehicle'],
  ['both', 'both'],
];

/** How far the file is read by a changed choice. */
export type Mapped = Omit<Going, 'again'>;

export interface MappingTableProps {
  readonly mapping: Mapping;
  readonly columns: Staged['columns'];
  readonly busy: boolean;
  readonly mapped: Mapped;
  readonly onMapping: (mapping: Mapping) => void;
}

const MOST_TARGETS = 4;
const SURE = 0.8;
const LIKELY = 0.5;

/** Each column of a roster with samples of it, where it goes, and why that was guessed. A correction reads the file again. */
export function MappingTable({ mapping, columns, busy, mapped, onMapping }: MappingTableProps) {
  return (
    <section className="panel stack mapping">
      <div className="spread">
        <h2>Which column goes where</h2>
        {mapped.stopped ? (
          <span role="status" className="quiet">
            Stopped: the columns go where they went before.
          </span>
        ) : (
          <Going what="How much of the file is read" quickly worked={{ ...mapped, again: () => {} }} />
        )}
      </div>
      <table className="table" aria-label="Which column goes where">
        <Heads of={['Column', 'Samples', 'Goes to', 'Why']} />
        <tbody>
          {mapping.columns.map((column, i) => (
            <tr key={column.heading}>
              <td>{column.heading}</td>
              <td className="quiet">
                <div className="import-samples">
                  {columns
                    .find((c) => c.header === column.heading)
                    ?.samples.slice(0, 4)
                    .join(' · ')}
                </div>
              </td>
              <td>
                <div className="row">
                  {[...column.to, undefined].slice(0, MOST_TARGETS).map((target, place) => (
                    <select
                      // biome-ignore lint/suspicious/noArrayIndexKey: the place is what the choice is about
                      key={place}
                      className="input"
                      aria-label={`${column.heading} goes ${place === 0 ? 'to' : 'also to'}`}
                      disabled={busy}
                      value={target ? targetKey(target) : ''}
                      onChange={(e) => onMapping(withTarget(mapping, i, place, e.target.value))}
                    >
                      <option value="">{place === 0 ? 'left out' : 'nowhere else'}</option>
                      {TARGETS.map(({ group, targets }) => (
                        <optgroup key={group} label={group}>
                          {targets.map(([key, label]) => (
                            <option key={key} value={key}>
                              {label}
                            </option>
                          ))}
                        </optgroup>
                      ))}
                    </select>
                  ))}
                </div>
              </td>
              <td className="small">
                {column.confidence >= SURE ? 'Sure' : column.confidence >= LIKELY ? 'Likely' : 'A guess'}
                <div className="quiet">{column.why}</div>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <Choice
        label="A card in a row with a driver and a vehicle stands for"
        whole="mapping-card"
        items={CARD_OF}
        value={mapping.cardOf}
        disabled={busy}
        choose={(cardOf) => onMapping({ ...mapping, cardOf })}
      />
    </section>
  );
}
