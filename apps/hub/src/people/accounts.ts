import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import type { Account, Me } from '@fillwright/wire';
import type { Database, Tx } from '../store/database.ts';
import { hashPassword, isPassword, LEAST_PASSWORD } from './password.ts';
import { waitAfter } from './slow-down.ts';

export interface NewAccount {
  readonly id: string;
  readonly name: string;
  readonly email: string;
  readonly role: Me['role'];
  readonly password: string;
}

export const passwordProblem = (password: string): Problem | undefined =>
  password.length < LEAST_PASSWORD ? problem('FW-407', { at: { field: 'password' } }) : undefined;

const COLUMNS = 'id, name, email, role, open, last_seen as "lastSeen"';

/** Adds an account; the e-mail is known to no other account of any fleet of this office. */
export async function insertAccount(
  tx: Tx,
  fleet: string,
  account: NewAccount,
  hashed: string,
): Promise<Result<Account, Problem>> {
  if (await tx.row('select from account_by_email($1)', [account.email]))
    return err(problem('FW-408', { at: { field: 'email' } }));
  const row = await tx.row<Account>(
    `insert into account (fleet, id, email, name, role, password) values ($1, $2, $3, $4, $5, $6) returning ${COLUMNS}`,
    [fleet, account.id, account.email, account.name, account.role, hashed],
  );
  return ok(row as Account);
}

export const listAccounts = (tx: Tx, fleet: string): Promise<Account[]> =>
  tx.rows<Account>(`select ${COLUMNS} from account where fleet = $1 order by name, id`, [fleet]);

export interface AccountChange {
  readonly role?: Me['role'] | undefined;
  readonly open?: boolean | undefined;
  readonly password?: string | undefined;
}

/** Changes an account; the last open owner stays one. Whoever loses rights or gets another password is signed out. */
export async function changeAccount(
  db: Database,
  fleet: string,
  id: string,
  change: AccountChange,
): Promise<Result<Account, Problem>> {
  const short = change.password === undefined ? undefined : passwordProblem(change.password);
  if (short) return err(short);
  const hashed = change.password === undefined ? null : await hashPassword(change.password);
  return db.as(fleet, async (tx): Promise<Result<Account, Problem>> => {
    const all = await tx.rows<Account>(`select ${COLUMNS} from account where fleet = $1 for update`, [fleet]);
    const found = all.find((a) => a.id === id);
    if (!found) return err(problem('FW-204', { at: { in: 'accounts', row: id } }));
    const after = { ...found, role: change.role ?? found.role, open: change.open ?? found.open };
    const owners = all.map((a) => (a.id === id ? after : a)).filter((a) => a.role === 'owner' && a.open);
    if (owners.length === 0)
      return err(
        problem('FW-403', {
          cause: 'The office would be left without an owner.',
          mend: 'Make somebody else an owner first.',
          at: { in: 'accounts', row: id },
        }),
      );
    await tx.rows(
      `update account set role = $3, open = $4, password = coalesce($5, password),
         wrong_tries = case when $5::text is null then wrong_tries else 0 end where fleet = $1 and id = $2`,
      [fleet, id, after.role, after.open, hashed],
    );
    if (hashed !== null || !after.open)
      await tx.rows('delete from session where fleet = $1 and account = $2', [fleet, id]);
    return ok(after);
  });
}

/** Checks e-mail and password. The try is written before it is compared, so that many at once count as many. */
export async function checkSignIn(
  db: Database,
  email: string,
  password: string,
  now: number,
): Promise<Result<{ fleet: string; account: string }, Problem>> {
  const found = await db.lookUp((tx) =>
    tx.row<{ fleet: string; id: string }>('select fleet, id from account_by_email($1)', [email]),
  );
  if (!found) {
    await isPassword(undefined, password);
    return err(problem('FW-402'));
  }
  const { fleet, id } = found;
  const row = await db.as(fleet, async (tx) => {
    const account = await tx.row<{ password: string; open: boolean; wrong_tries: number; tried_at: number | null }>(
      'select password, open, wrong_tries, tried_at from account where fleet = $1 and id = $2 for update',
      [fleet, id],
    );
    if (!account || (account.tried_at ?? 0) + waitAfter(account.wrong_tries) > now) return account && 'wait';
    await tx.rows('update account set wrong_tries = wrong_tries + 1, tried_at = $3 where fleet = $1 and id = $2', [
      fleet,
      id,
      now,
    ]);
    return account;
  });
  if (row === 'wait') return err(problem('FW-409'));
  if (!row || !(await isPassword(row.password, password)) || !row.open) return err(problem('FW-402'));
  await db.as(fleet, (tx) => tx.rows('update account set wrong_tries = 0 where fleet = $1 and id = $2', [fleet, id]));
  return ok({ fleet, account: id });
}
