import { problem } from '@fillwright/core/errors';
import type { Edit } from '@fillwright/core/fleet';
import { moment, useAsk, useDraft, useMay } from '../../data/index.ts';
import { editsInWords } from '../../data/words.ts';
import { TextEntry } from '../../field/text-entry.tsx';
import { OfficeKeyPanel } from './office-key.tsx';
import '../../field/field.css';
import './settings.css';
import { UnitsChoice } from '../../field/units-choice.tsx';
import { Heads, right } from '../../look/heads.tsx';

export default function SettingsPage() {
  const { fleet, edit } = useDraft();
  const disabled = !useMay('editor');
  const owner = useMay('owner');
  const { name, units, currency } = fleet.settings;
  const set = (fields: Record<string, unknown>, note: string) => {
    const done = edit([{ op: 'settings', fields }], note);
    return done.ok ? undefined : done.error[0];
  };
  return (
    <div className="page">
      <h1>Settings</h1>
      <section className="panel record-fields">
        <div className="field">
          <span className="field-label" aria-hidden="true">
            Name of the fleet
          </span>
          <TextEntry
            label="Name of the fleet"
            text={name}
            disabled={disabled}
            commit={(t) => set({ name: t.trim() }, 'Name of the fleet')}
          />
        </div>
        <UnitsChoice value={units} disabled={disabled} choose={(to) => set({ units: to }, 'Units of the fleet')}>
          <span className="field-note small">
            Quantities are kept exactly and only shown otherwise. Pulses and prices are per unit: look at both after a
            change.
          </span>
        </UnitsChoice>
        <div className="field">
          <span className="field-label" aria-hidden="true">
            Currency
          </span>
          <TextEntry
            label="Currency"
            text={currency}
            disabled={disabled}
            commit={(t) =>
              /^[A-Za-z]{3}$/.test(t.trim())
                ? set({ currency: t.trim().toUpperCase() }, 'Currency of the fleet')
                : problem('FW-201', { found: t, expected: 'three letters as in ISO 4217, such as USD' })
            }
          />
          <span className="field-note small">The three letters of ISO 4217. Amounts are not converted.</span>
        </div>
      </section>
      {owner && <OfficeKeyPanel />}
      <History />
    </div>
  );
}

const MOST_LINES = 3;

/** Who changed what in the draft, newest first. */
function History() {
  const { fleet } = useDraft();
  const history = useAsk('history', { query: { limit: 50 } });
  return (
    <section className="panel">
      <h2>History of the draft</h2>
      <table className="table" aria-label="History of the draft">
        <Heads of={[right('Version'), 'When', 'Who', 'What']} />
        <tbody>
          {history.data?.map((change) => {
            const lines = editsInWords(fleet, change.first.slice(0, MOST_LINES) as Edit[]);
            return (
              <tr key={change.version}>
                <td className="number">{change.version}</td>
                <td>{moment(change.at)}</td>
                <td>{change.by}</td>
                <td>
                  {change.kind !== 'edit' && <span className="quiet">{KINDS[change.kind]} </span>}
                  {change.note}
                  <div className="small quiet">
                    {lines.join(' · ')}
                    {change.count > MOST_LINES && ` · and ${change.count - MOST_LINES} more`}
                  </div>
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
      {history.data?.length === 0 && <p className="quiet">Nothing has been changed yet.</p>}
    </section>
  );
}

const KINDS = { edit: '', undo: 'taken back:', redo: 'made again:', import: 'import:', start: 'start:' } as const;
