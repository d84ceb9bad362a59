import { err, ok, problem } from '@fillwright/core/errors';
import type { Me } from '@fillwright/wire';
import type { App } from '../app.ts';
import { VERSION } from '../app.ts';
import { writeSettings } from '../draft/rows.ts';
import { changeAccount, checkSignIn, insertAccount, listAccounts, passwordProblem } from '../people/accounts.ts';
import { hashPassword } from '../people/password.ts';
import { closeSession, openSession, whoIs } from '../people/sessions.ts';
import type { HandlersOf } from './route.ts';

const hasOwner = (app: App): Promise<boolean> =>
  app.db.lookUp(async (tx) => (await tx.row('select from every_fleet()')) !== undefined);

export const peopleHandlers: HandlersOf<
  'office' | 'firstOwner' | 'signIn' | 'signOut' | 'me' | 'accounts' | 'addAccount' | 'changeAccount'
> = {
  office: async ({ app }) => ok({ hasOwner: await hasOwner(app), version: VERSION }),

  firstOwner: async ({ app, body, setSession }) => {
    const short = passwordProblem(body.password);
    if (short) return err([short]);
    const hashed = await hashPassword(body.password);
    const fleet = app.randomId();
    const id = app.randomId();
    const made = await app.db.as(fleet, async (tx) => {
      await tx.rows("select pg_advisory_xact_lock(hashtext('fillwright first owner'))");
      if (await tx.row('select from every_fleet()')) return undefined;
      await tx.rows('insert into fleet (fleet, created_at, version) values ($1, $2, 0)', [fleet, app.now()]);
      await writeSettings(tx, fleet, { name: body.fleetName, units: body.units, currency: body.currency });
      await insertAccount(
        tx,
        fleet,
        { id, name: body.name, email: body.email, role: 'owner', password: body.password },
        hashed,
      );
      return openSession(tx, fleet, id, app.now());
    });
    if (made === undefined) return err([problem('FW-404')]);
    setSession(made);
    return ok({ id, name: body.name, email: body.email, role: 'owner', fleet, fleetName: body.fleetName });
  },

  signIn: async ({ app, body, setSession }) => {
    const right = await checkSignIn(app.db, body.email, body.password, app.now());
    if (!right.ok) return err([right.error]);
    const { fleet, account } = right.value;
    const cookie = await app.db.as(fleet, (tx) => openSession(tx, fleet, account, app.now()));
    setSession(cookie);
    return ok((await whoIs(app.db, cookie, app.now())) as Me);
  },

  signOut: async ({ app, cookie, setSession }) => {
    if (cookie) await closeSession(app.db, cookie);
    setSession(undefined);
    return ok({});
  },

  me: async ({ who }) => ok(who),

  accounts: async ({ app, who }) => ok(await app.db.as(who.fleet, (tx) => listAccounts(tx, who.fleet))),

  addAccount: async ({ app, who, body }) => {
    const short = passwordProblem(body.password);
    if (short) return err([short]);
    const hashed = await hashPassword(body.password);
    const added = await app.db.as(who.fleet, (tx) =>
      insertAccount(tx, who.fleet, { id: app.randomId(), ...body }, hashed),
    );
    return added.ok ? added : err([added.error]);
  },

  changeAccount: async ({ app, who, params, body }) => {
    const changed = await changeAccount(app.db, who.fleet, params.id, body);
    return changed.ok ? changed : err([changed.error]);
  },
};
