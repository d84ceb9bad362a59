import { randomBytes } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { editsBetween, emptyFleet } from '@fillwright/core/fleet';
import { DEMO_TAXES, demoPin, harrowmere, openingStock, pastProvings, waitingChanges } from '@fillwright/sim';
import { type Caller, call, oneWordForAll } from '@fillwright/wire';
import { livePast } from '../demo-past.ts';
import { must } from '../office.ts';
import { signedIn } from '../signed-in.ts';
import { SiteProcess } from '../site-process.ts';
import { welcomeAt, welcomeText } from '../welcome.ts';
import { type Common, command, outputOf } from './context.ts';
import { logTo, type OfficeFlags, openOffice, untilStopped, wholeNumber, withOfficeOptions } from './start.ts';

interface DemoAccount {
  readonly email: string;
  readonly password: string;
}

/** The demo's owner: made on the first run, with a password of its own, kept beside the data. */
function accountIn(folder: string): { account: DemoAccount; fresh: boolean } {
  const path = join(folder, 'demo-account.json');
  if (existsSync(path)) return { account: JSON.parse(readFileSync(path, 'utf8')) as DemoAccount, fresh: false };
  const account = { email: 'owner@harrowmere.example', password: randomBytes(9).toString('base64url') };
  mkdirSync(folder, { recursive: true });
  writeFileSync(path, JSON.stringify(account), { mode: 0o600 });
  return { account, fresh: true };
}

/** Fills the empty office as a person would: the whole fleet in one change, PINs, a release with a word for each warning. */
async function commission(office: Caller): Promise<void> {
  const fleet = harrowmere();
  const draft = must(await call(office, 'draft', {}));
  const edits = editsBetween(emptyFleet(fleet.settings), fleet);
  must(await call(office, 'editDraft', { body: { version: draft.version, edits, note: 'The demo’s fleet' } }));
  for (const driver of fleet.drivers.values()) {
    const pin = demoPin(driver.id);
    if (pin) must(await call(office, 'setPin', { params: { id: driver.id }, body: { pin } }));
  }
  for (const tax of DEMO_TAXES) must(await call(office, 'addTax', { body: tax }));
  const preview = must(await call(office, 'releasePreview', {}));
  const words = oneWordForAll(preview, must(await call(office, 'releaseStands', {})), 'Meant so in the demo.');
  must(await call(office, 'release', { body: { version: preview.version, note: 'First release of the demo', words } }));
}

/** What a fleet that has lived for a while has besides fills: meters with a history, a site that is being commissioned, changes that wait. */
async function livedIn(office: Caller): Promise<void> {
  const fleet = harrowmere();
  for (const { run, ...proving } of pastProvings(fleet, Date.now(), 'demo')) {
    const body = { ...proving, run: { ...run, drafts: [...run.drafts] }, back: null, fills: [] };
    must(await call(office, 'addProving', { body }));
  }
  must(await call(office, 'makeWorksheet', { body: { site: 'sallow-quay' } }));
  for (const { note, edits } of waitingChanges(fleet)) {
    const { version } = must(await call(office, 'draft', {}));
    must(await call(office, 'editDraft', { body: { version, edits, note } }));
  }
}

/** Whoever drew last in the past has time to drive to another yard. */
const QUIET_MS = 15 * 60_000;

/** Without a history the tank books begin with what the simulated tanks hold, as a person would write it in after the first dip. */
async function openBooks(office: Caller): Promise<void> {
  for (const tank of harrowmere().tanks.values()) {
    const body = {
      kind: 'correction' as const,
      volume: openingStock(tank.capacity),
      at: Date.now(),
      note: 'Opening stock, by dip',
    };
    must(await call(office, 'addTankMove', { params: { tank: tank.id }, body }));
  }
}

export const demo = withOfficeOptions(
  command(
    'demo',
    'open an office with an invented fleet and three simulated sites, with people who come to fill',
    false,
  ),
  '.fillwright/demo',
)
  .option('--pace <n>', 'how many times faster than life the yards run', '4')
  .option('--history <weeks>', 'weeks of fills, levels and deliveries that a new office begins with, 0 to 12', '8')
  .action(async (options: Common & OfficeFlags & { pace: string; history: string }) => {
    const out = outputOf(options);
    const weeks = wholeNumber(options.history, 'history', 12);
    const data = resolve(options.data);
    const log = logTo(process.env.FILLWRIGHT_LOG ?? 'warn');
    out.line('Opening the demo’s office ...');
    const { account, fresh } = accountIn(data);
    const hub = await openOffice({ ...options, data: join(data, 'office') }, log);
    const sites: SiteProcess[] = [];
    const stop = async () => {
      await Promise.all(sites.map((s) => s.stop()));
      await hub.stop();
    };
    const ended = untilStopped(stop);
    try {
      const anyone = { base: hub.url, fetch };
      if (!must(await call(anyone, 'office', {})).hasOwner) {
        const { settings } = harrowmere();
        const owner = {
          fleetName: settings.name,
          units: settings.units,
          currency: settings.currency,
          name: 'Demo owner',
          ...account,
        };
        must(await call(anyone, 'firstOwner', { body: owner }));
        const { caller } = await signedIn(hub.url, account.email, account.password);
        await commission(caller);
        if (weeks === 0) await openBooks(caller);
        else {
          out.line(`Giving it ${weeks} weeks of history ...`);
          const lived = await livePast({
            ...{ hub, office: caller, id: must(await call(caller, 'me', {})).fleet, fleet: harrowmere(), weeks },
            ...{ now: Date.now() - QUIET_MS, folderOf: (site: string) => join(data, `site-${site}`) },
          });
          await livedIn(caller);
          out.line(`  ${lived.fills} fills, ${lived.entries} journal entries in ${Math.round(lived.ms / 100) / 10} s`);
        }
      }
      const { caller: office } = await signedIn(hub.url, account.email, account.password);
      const yards = must(await call(office, 'sites', {}));
      for (const [i, site] of yards.entries()) {
        const folder = join(data, `site-${site.site}`);
        const joining =
          site.joined && existsSync(folder)
            ? undefined
            : must(await call(office, 'joinCode', { params: { site: site.site } })).code;
        const box = new SiteProcess({
          folder,
          name: site.name,
          office: hub.url,
          code: joining,
          pace: options.pace,
          traffic: String(i + 1),
          place: `${i + 1}/${yards.length}`,
          every: '2',
        });
        sites.push(box);
        const page = await box.ready();
        out.line(`${site.name}: the terminal is at ${page}`);
        const welcome = welcomeAt(harrowmere(), site.site, Date.now());
        if (welcome) out.line(`  ${welcomeText(welcome)}`);
      }
    } catch (cause) {
      await stop();
      throw cause;
    }
    out.line('');
    out.line(`The desk is open at ${hub.url}`);
    out.line(
      `Sign in as ${account.email} with the password ${account.password}${fresh ? '' : ' (from an earlier run)'}`,
    );
    out.line(`Data: ${data}. Ctrl-C ends everything.`);
    out.value({ url: hub.url, ...account, data });
    await ended;
  });
