import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import type { Fleet } from '@fillwright/core/fleet';
import type { App } from '../app.ts';
import { readFleet } from './rows.ts';

/** The fleet of the draft, or of a release by its number. */
export async function fleetOf(app: App, fleet: string, which: string): Promise<Result<Fleet, Problem[]>> {
  return app.db.as(fleet, async (tx) => {
    if (which === 'draft') return ok((await app.drafts.current(tx, fleet)).fleet);
    const row = /^\d{1,9}$/.test(which)
      ? await tx.row<{ version: number }>('select version from release where fleet = $1 and number = $2', [
          fleet,
          Number(which),
        ])
      : undefined;
    if (!row) return err([problem('FW-308', { found: which })]);
    return ok(await readFleet(tx, fleet, row.version));
  });
}
