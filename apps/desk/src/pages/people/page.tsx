import type { Account, Role } from '@fillwright/wire';
import { useState } from 'react';
import { ago, useAsk, useDo, useMay, useMe, useNow } from '../../data/index.ts';
import { ProblemNote } from '../../look/problem-note.tsx';
import { NewAccount } from './new-account.tsx';
import { ROLES } from './roles.ts';
import '../../field/field.css';
import './people.css';
import { Heads } from '../../look/heads.tsx';

export default function PeoplePage() {
  const owner = useMay('owner');
  const me = useMe();
  const accounts = useAsk('accounts', {}, { enabled: owner });
  return (
    <div className="page">
      <div className="page-head">
        <h1>People</h1>
      </div>
      <section className="panel">
        <dl className="roles">
          {Object.entries(ROLES).map(([role, said]) => (
            <div key={role}>
              <dt>{said.label}</dt>
              <dd className="quiet">{said.may}</dd>
            </div>
          ))}
        </dl>
      </section>
      {!owner && (
        <p>
          You are signed in as {me?.name}, {me && ROLES[me.role].label.toLowerCase()}. Only an owner sees and changes
          the accounts.
        </p>
      )}
      {accounts.error && <ProblemNote problem={accounts.error.problem} />}
      {accounts.data && (
        <section className="panel">
          <table className="table people-table" aria-label="Accounts">
            <Heads of={['Name', 'E-mail', 'Role', 'Last here', 'Password', 'May sign in']} />
            <tbody>
              {accounts.data.map((account) => (
                <AccountRow key={account.id} account={account} mine={account.id === me?.id} />
              ))}
            </tbody>
          </table>
        </section>
      )}
      {owner && <NewAccount />}
    </div>
  );
}

function AccountRow({ account, mine }: { account: Account; mine: boolean }) {
  const change = useDo('changeAccount');
  const now = useNow();
  const [password, setPassword] = useState<string>();
  const set = (body: { role?: Role; open?: boolean; password?: string }) =>
    change.mutate({ params: { id: account.id }, body }, { onSuccess: () => setPassword(undefined) });
  return (
    <>
      <tr>
        <td>
          {account.name}
          {mine && <span className="quiet"> (you)</span>}
        </td>
        <td>{account.email}</td>
        <td>
          <select
            className="input"
            aria-label={`Role of ${account.name}`}
            value={account.role}
            disabled={mine}
            onChange={(e) => set({ role: e.target.value as Role })}
          >
            {Object.entries(ROLES).map(([role, said]) => (
              <option key={role} value={role}>
                {said.label}
              </option>
            ))}
          </select>
        </td>
        <td>{account.lastSeen === null ? 'never' : ago(account.lastSeen, now)}</td>
        <td>
          {password === undefined ? (
            <button
              type="button"
              className="button"
              aria-label={`New password for ${account.name}`}
              onClick={() => setPassword('')}
            >
              New password
            </button>
          ) : (
            <form
              className="row"
              onSubmit={(event) => {
                event.preventDefault();
                set({ password });
              }}
            >
              <input
                className="input people-password"
                type="password"
                autoComplete="new-password"
                minLength={10}
                required
                aria-label={`New password for ${account.name}`}
                value={password}
                onChange={(e) => setPassword(e.target.value)}
              />
              <button type="submit" className="button">
                Set
              </button>
            </form>
          )}
        </td>
        <td>
          <label className="flag">
            <input
              type="checkbox"
              aria-label={`${account.name} may sign in`}
              checked={account.open}
              disabled={mine}
              onChange={(e) => set({ open: e.target.checked })}
            />
            <span aria-hidden="true">{account.open ? 'yes' : 'no'}</span>
          </label>
        </td>
      </tr>
      {change.error && (
        <tr>
          <td colSpan={6}>
            <ProblemNote problem={change.error.problem} />
          </td>
        </tr>
      )}
    </>
  );
}
