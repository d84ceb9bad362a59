import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import type { App } from '../app.ts';
import type { Tx } from '../store/database.ts';

/** Whether people could guess it at once: one digit over and over, or digits in a row, up or down (also past 9 to 0). */
function isGuessable(pin: string): boolean {
  const steps = [...pin].slice(1).map((d, i) => (Number(d) - Number(pin[i]) + 10) % 10);
  return [0, 1, 9].some((step) => steps.every((s) => s === step));
}

const pinProblem = (pin: string): Problem | undefined =>
  /^\d{4,8}$/.test(pin) && !isGuessable(pin) ? undefined : problem('FW-406', { at: { field: 'pin' } });

/** Keeps a PIN hidden, under the next version; null takes it away. */
export async function setPin(
  app: App,
  fleet: string,
  driver: string,
  pin: string | null,
): Promise<Result<null, Problem>> {
  const wrong = pin === null ? undefined : pinProblem(pin);
  if (wrong) return err(wrong);
  return app.db.as(fleet, async (tx): Promise<Result<null, Problem>> => {
    // Under the fleet's lock, so that versions are given out one by one.
    await tx.rows('select from fleet where fleet = $1 for update', [fleet]);
    const draft = await app.drafts.current(tx, fleet);
    if (!draft.fleet.drivers.has(driver)) return err(problem('FW-204', { at: { in: 'drivers', row: driver } }));
    await tx.rows(
      `insert into pin (fleet, driver, secret, version)
       values ($1, $2, $3, (select coalesce(max(version), 0) + 1 from pin where fleet = $1))
       on conflict (fleet, driver) do update set secret = excluded.secret, version = excluded.version`,
      [fleet, driver, pin === null ? null : app.keys.hide(pin)],
    );
    return ok(null);
  });
}

export const driversWithPin = async (tx: Tx, fleet: string): Promise<string[]> =>
  (
    await tx.rows<{ driver: string }>(
      'select driver from pin where fleet = $1 and secret is not null order by driver',
      [fleet],
    )
  ).map((r) => r.driver);

export const joinedSites = async (tx: Tx, fleet: string): Promise<string[]> =>
  (await tx.rows<{ site: string }>('select site from box where fleet = $1 order by site', [fleet])).map((r) => r.site);
