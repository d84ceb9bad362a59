import { nameOf } from '@fillwright/core/decide';
import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import type { Fleet } from '@fillwright/core/fleet';
import type { About } from '@fillwright/core/reach';
import type { App } from '../app.ts';
import { fleetOf } from '../draft/which.ts';
import { siteStatuses } from '../sites/status.ts';
import type { AskOptions } from '../thread/thread.ts';

export interface StatementWish {
  readonly which: string;
  readonly site?: string | undefined;
  readonly department?: string | undefined;
  readonly driver?: string | undefined;
  readonly vehicle?: string | undefined;
}

/** The access statement as PDF, with the name to keep it under. */
export async function statementPdf(
  app: App,
  fleet: string,
  wish: StatementWish,
  options: AskOptions,
): Promise<Result<{ bytes: Uint8Array; name: string }, Problem[]>> {
  const about = aboutOf(wish);
  if (!about.ok) return err([about.error]);
  const of = wish.which === 'running' ? await runs(app, fleet, wish.site) : ok(wish.which);
  if (!of.ok) return err([of.error]);
  const read = await fleetOf(app, fleet, of.value);
  if (!read.ok) return read;
  const content = read.value;
  const missing = missingOf(content, about.value);
  if (missing) return err([missing]);
  const own = about.value.kind === 'site' ? about.value.id : [...content.sites.keys()][0];
  const whose = about.value.kind === 'department' ? about.value.name : about.value.id;
  const made = await app.papers.ask<'access'>(
    'access',
    async () => ({
      kind: 'access',
      fleet: content,
      about: about.value,
      of: ofWords(content, wish, of.value),
      at: app.now(),
      site: own,
    }),
    options,
  );
  return made.ok ? ok({ bytes: made.value, name: `access-${whose}-${of.value}.pdf` }) : made;
}

function aboutOf({ site, department, driver, vehicle }: StatementWish): Result<About> {
  const one: About[] = [];
  if (department) one.push({ kind: 'department', name: department });
  if (driver) one.push({ kind: 'driver', id: driver });
  if (vehicle) one.push({ kind: 'vehicle', id: vehicle });
  if (one.length === 0 && site) one.push({ kind: 'site', id: site });
  const [about] = one;
  return about && one.length === 1 ? ok(about) : err(problem('FW-335'));
}

function missingOf(fleet: Fleet, about: About): Problem | undefined {
  if (about.kind === 'department') {
    const has = (row: { readonly department: string }) => row.department === about.name;
    if ([...fleet.drivers.values()].some(has) || [...fleet.vehicles.values()].some(has)) return undefined;
    return problem('FW-204', { at: { in: 'departments', row: about.name } });
  }
  const table = `${about.kind}s` as const;
  return fleet[table].has(about.id) ? undefined : problem('FW-204', { at: { in: table, row: about.id } });
}

async function runs(app: App, fleet: string, site: string | undefined): Promise<Result<string>> {
  if (site === undefined) return err(problem('FW-335'));
  const running = await app.db.as(fleet, async (tx) => {
    const { fleet: draft } = await app.drafts.current(tx, fleet);
    return (await siteStatuses(tx, fleet, draft)).find((s) => s.site === site)?.running ?? null;
  });
  return running === null ? err(problem('FW-336', { at: { in: 'sites', row: site } })) : ok(String(running));
}

function ofWords(fleet: Fleet, { which, site }: StatementWish, of: string) {
  if (of === 'draft') return { words: 'the draft', draft: true };
  const runsIt = which === 'running' && site ? `, which ${nameOf(fleet, 'sites', site)} says that it runs` : '';
  return { words: `release ${of}${runsIt}`, draft: false };
}
