import { useDraft } from '../../data/draft.ts';
import { nameOf, useWhere } from '../../data/where.ts';
import { recordOptions } from '../../field/suggest.ts';
import { TextEntry } from '../../field/text-entry.tsx';
import { namedItems, WhereChoice, WhereSearch } from '../../field/where-choice.tsx';

/** Which fills, or which refusals, are shown; kept in the address. */
export function Filters({ zone, refusals = false }: { zone: string; refusals?: boolean }) {
  const { fleet } = useDraft();
  const [where, change] = useWhere();
  return (
    <search className="ledger-filters no-print">
      {!refusals && <WhereSearch label="Search" part="text" maxLength={100} placeholder="any words" />}
      <WhereChoice label="Site" part="site" items={namedItems(fleet.sites)} />
      {!refusals && <WhereChoice label="Product" part="product" items={namedItems(fleet.products)} />}
      <Named part="driver" table="drivers" label="Driver" />
      <Named part="vehicle" table="vehicles" label="Vehicle" />
      {!refusals && <Named part="costCentre" table="costCentres" label="Cost centre" />}
      <label className="field" title={`Whole days, ${zone}`}>
        <span className="field-label">From</span>
        <input
          className="input"
          type="date"
          value={where.from ?? ''}
          onChange={(e) => change({ from: e.target.value || undefined })}
        />
      </label>
      <label className="field" title={`Whole days, ${zone}`}>
        <span className="field-label">To</span>
        <input
          className="input"
          type="date"
          value={where.to ?? ''}
          onChange={(e) => change({ to: e.target.value || undefined })}
        />
      </label>
    </search>
  );
}

/** A record chosen by its name or its id, kept in the address. */
export function Named(props: {
  part: 'driver' | 'vehicle' | 'costCentre';
  table: 'drivers' | 'vehicles' | 'costCentres';
  label: string;
  placeholder?: string;
}) {
  const { part, table, label, placeholder = 'all' } = props;
  const { fleet } = useDraft();
  const [where, change] = useWhere();
  const chosen = where[part];
  return (
    <div className="field">
      <span className="field-label" aria-hidden="true">
        {label}
      </span>
      <TextEntry
        label={label}
        text={chosen ? nameOf(fleet, table, chosen) : ''}
        options={recordOptions(fleet, table)}
        placeholder={placeholder}
        commit={(text) => {
          const typed = text.trim();
          const rows = fleet[table];
          const id = rows.has(typed) ? typed : [...rows.values()].find((r) => r.name === typed)?.id;
          change({ [part]: typed === '' ? undefined : (id ?? typed) });
          return undefined;
        }}
      />
    </div>
  );
}
