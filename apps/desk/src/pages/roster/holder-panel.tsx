import { type Credential, type Fleet, fieldOf, formatValue, unitOf } from '@fillwright/core/fleet';
import { formatVolume } from '@fillwright/core/units';
import { Link } from '@tanstack/react-router';
import { useMemo } from 'react';
import { moment, nameOf, placeOf, useAsk, useDraft, useMay, useToday } from '../../data/index.ts';
import { RecordEditor } from '../../field/record-editor.tsx';
import { freshRow } from '../../grid/changes.ts';
import { Touched } from '../../reach/touched.tsx';
import { PinSection } from './pin-section.tsx';
import { StopCredential } from './stop-credential.tsx';

export type HolderTable = 'drivers' | 'vehicles';

const FIELDS: Readonly<Record<HolderTable, readonly string[]>> = {
  drivers: [
    'name',
    'number',
    'active',
    'department',
    'costCentre',
    'allowances',
    'sites',
    'questions',
    'validFrom',
    'validUntil',
  ],
  vehicles: [
    'name',
    'plate',
    'vin',
    'active',
    'capacity',
    'counter',
    'use',
    'department',
    'costCentre',
    'allowances',
    'sites',
    'questions',
    'validFrom',
    'validUntil',
  ],
};

/** Everything about one driver or vehicle: fields, credentials, PIN, what it may draw, what it drew last. */
export function HolderPanel({ table, id }: { table: HolderTable; id: string }) {
  return (
    <>
      <RecordEditor table={table} id={id} fields={FIELDS[table]} />
      <Touched table={table} id={id} />
      <Credentials table={table} id={id} />
      {table === 'drivers' && <PinSection driver={id} />}
      <Limits table={table} id={id} />
      <LastFills table={table} id={id} />
    </>
  );
}

/** The credentials of one driver or vehicle. A walk over all: of a large roster an index would take longer than it saves. */
function credentialsOf({ credentials }: Fleet, table: HolderTable, id: string): readonly Credential[] {
  const own: Credential[] = [];
  credentials.forEach((c) => {
    if ((table === 'drivers' ? c.driver : c.vehicle) === id) own.push(c);
  });
  return own;
}

function Credentials({ table, id }: { table: HolderTable; id: string }) {
  const { fleet, edit } = useDraft();
  const mayEdit = useMay('editor');
  const today = useToday();
  const own = useMemo(() => credentialsOf(fleet, table, id), [fleet, table, id]);
  const kinds = fieldOf('credentials', 'kind')?.choices;
  const add = () => {
    const row = freshRow(fleet, 'credentials', today, table === 'drivers' ? { driver: id } : { vehicle: id });
    edit([{ op: 'put', table: 'credentials', row }], `A new credential of ${nameOf(fleet, table, id)}`);
  };
  return (
    <section>
      <div className="spread">
        <h3>Credentials</h3>
        {mayEdit && (
          <button type="button" className="button" onClick={add}>
            Add credential
          </button>
        )}
      </div>
      {own.length === 0 && <p className="quiet">None: nobody can present anything for this one.</p>}
      {own.map((credential) => (
        <div key={credential.id} className="credential">
          <div className="spread">
            <Link {...placeOf('credentials', credential.id)}>
              {kinds?.[credential.kind]} {credential.number || 'without a number yet'}
            </Link>
            {credential.validUntil && <span className="small quiet">until {credential.validUntil}</span>}
          </div>
          <StopCredential credential={credential} />
        </div>
      ))}
    </section>
  );
}

/** The allowances in figures, so that nobody needs to look them up. */
function Limits({ table, id }: { table: HolderTable; id: string }) {
  const { fleet } = useDraft();
  const ids = fleet[table].get(id)?.allowances ?? [];
  return (
    <section>
      <h3>May draw</h3>
      {ids.length === 0 && <p className="quiet">Nothing: no allowance is given.</p>}
      {ids.map((allowanceId) => {
        const allowance = fleet.allowances.get(allowanceId);
        if (!allowance) return <p key={allowanceId}>{allowanceId}: there is no such allowance.</p>;
        const said = (name: 'perFill' | 'perDay' | 'perWeek' | 'perMonth' | 'times') => {
          const field = fieldOf('allowances', name);
          return field ? formatValue(field, allowance[name], fleet) : '';
        };
        return (
          <div key={allowanceId}>
            <Link {...placeOf('allowances', allowanceId)}>{allowance.name}</Link>
            <div className="small quiet">
              {allowance.products.map((p) => nameOf(fleet, 'products', p)).join(', ') || 'no product'} ·{' '}
              {said('perFill')} a fill · {said('perDay')} a day · {said('times')}
            </div>
          </div>
        );
      })}
    </section>
  );
}

function LastFills({ table, id }: { table: HolderTable; id: string }) {
  const { fleet } = useDraft();
  const query = useMemo(() => ({ query: { [table === 'drivers' ? 'driver' : 'vehicle']: id, limit: 5 } }), [table, id]);
  const ask = useAsk('fills', query);
  const unit = unitOf(fleet.settings);
  const fills = ask.data?.fills ?? [];
  return (
    <section>
      <h3>Last fills</h3>
      {ask.isError && <p className="quiet">{ask.error.problem.cause}</p>}
      {ask.data && fills.length === 0 && <p className="quiet">None yet.</p>}
      {fills.length > 0 && (
        <table className="table small">
          <tbody>
            {fills.map((fill) => (
              <tr key={fill.id}>
                <td>
                  <Link to="/ledger" search={{ id: fill.id }}>
                    {moment(fill.startedAt)}
                  </Link>
                </td>
                <td>{nameOf(fleet, 'sites', fill.site)}</td>
                <td className="number">
                  {formatVolume(fill.volume, unit)} {unit}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </section>
  );
}
