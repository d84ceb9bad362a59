import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setImmediate as turn } from 'node:timers/promises';
import type { Entry } from '@fillwright/core/island';
import { type SimulatedYard, virtualClock } from '@fillwright/sim';
import { pino } from 'pino';
import { identityIn, keepMembership } from '../box/identity.ts';
import { type Clock, type RunningSite, type SiteOptions, simulatedYards, startSite } from '../index.ts';
import { FLEET, type TestOffice, testOffice } from './office.ts';
import { SITE } from './world.ts';

/** A box, a simulated yard and an office, on a clock that only the test moves. */
export interface Rig {
  readonly dir: string;
  readonly office: TestOffice;
  readonly clock: Clock;
  site: RunningSite;
  /** The yard as it was made last. */
  readonly yard: SimulatedYard;
  boot(change?: Partial<SiteOptions>): Promise<void>;
  /** Lets the clock run by so much. */
  run(ms: number): Promise<void>;
  /** Lets the clock run until something holds; fails after an hour. */
  flow(what: string, holds: () => boolean): Promise<void>;
  /** Waits for what takes real time (sockets, a PIN's stretching) with the clock standing still. */
  until(what: string, holds: () => boolean): Promise<void>;
  /** For what takes both: timers by the clock and sockets by the world's. */
  both(what: string, holds: () => boolean): Promise<void>;
  journal(): Entry[];
  screen(): string;
  keys(text: string): Promise<void>;
  end(): Promise<void>;
}

const START = Date.UTC(2026, 5, 10, 9, 0, 0);
const ids = (() => {
  let n = 0;
  return () => `box${(++n).toString().padStart(4, '0')}`;
})();

export async function rig(): Promise<Rig> {
  const virtual = virtualClock(START);
  const clock: Clock = { pace: 1, now: virtual.now, monotonic: virtual.now, after: virtual.after };
  const dir = mkdtempSync(join(tmpdir(), 'fillwright-site-'));
  const office = await testOffice(clock.now);
  let yard: SimulatedYard | undefined;
  let site: RunningSite | undefined;
  const identity = identityIn(dir, ids);
  if (!identity.ok) throw new Error(identity.error.cause);
  keepMembership(dir, {
    fleet: FLEET,
    site: SITE,
    name: 'Wharf Yard',
    officeKey: office.keys.publicKey,
    officeKeyVersion: 0,
    mqttUrl: office.url,
    user: 'box',
    password: 'secret',
  });

  const r: Rig = {
    dir,
    office,
    clock,
    get site() {
      if (!site) throw new Error('the box is not started');
      return site;
    },
    set site(value) {
      site = value;
    },
    get yard() {
      if (!yard) throw new Error('no yard yet');
      return yard;
    },
    async boot(change = {}) {
      const started = await startSite({
        dataDir: dir,
        clock,
        random: () => 0.5,
        randomId: ids,
        log: pino({ level: 'silent' }),
        yard: simulatedYards({
          clock,
          seed: 'rig',
          dataDir: dir,
          made: (made) => {
            yard = made;
          },
        }),
        fault: (error) => {
          throw error;
        },
        ...change,
      });
      if (!started.ok) throw new Error(`${started.error.code} ${started.error.found ?? started.error.cause}`);
      site = started.value;
    },
    async run(ms) {
      const end = virtual.now() + ms;
      // Long waits are quiet ones: nothing there waits for a turn of the real loop.
      const leap = ms > 60_000 ? 5_000 : 100;
      while (virtual.now() < end) {
        await turn();
        virtual.runUntil(Math.min(end, virtual.now() + leap));
      }
      await turn();
    },
    async flow(what, holds) {
      const end = virtual.now() + 3_600_000;
      while (!holds()) {
        if (virtual.now() > end) throw new Error(`in an hour it did not come to: ${what}; screen ${r.screen()}`);
        await r.run(100);
      }
    },
    async until(what, holds) {
      for (let i = 0; !holds(); i++) {
        if (i > 6_000) throw new Error(`it did not come to: ${what}`);
        await new Promise((resolve) => setTimeout(resolve, 5));
      }
    },
    async both(what, holds) {
      for (let i = 0; !holds(); i++) {
        if (i > 4_000) throw new Error(`it did not come to: ${what}`);
        await r.run(1_000);
        await new Promise((resolve) => setTimeout(resolve, 5));
      }
    },
    journal: () => office.entries.map((e) => JSON.parse(e.text) as Entry),
    screen: () => r.site.view().terminals[0]?.screen ?? 'none',
    async keys(text) {
      for (const key of text) r.yard.key('term', key);
      r.yard.key('term', 'enter');
      await r.run(200);
    },
    async end() {
      const stopped = site?.stop();
      let done = false;
      stopped?.finally(() => {
        done = true;
      });
      while (stopped && !done) {
        await r.run(100);
        await new Promise((resolve) => setTimeout(resolve, 2));
      }
      await office.close();
      rmSync(dir, { recursive: true, force: true });
    },
  };
  return r;
}

/** Presents a card, chooses a hose, and has it armed. */
export async function armed(r: Rig, card: string, hose = '1'): Promise<void> {
  r.yard.present('term', card);
  await r.flow('hoses to choose', () => r.screen() === 'choose');
  r.yard.key('term', hose);
  await r.flow('an armed hose', () => ['authorised', 'refused', 'busy'].includes(r.screen()));
}

/** Draws until the hose stops by itself or so many seconds are over, then hangs up. */
export async function draw(r: Rig, hose: string, seconds?: number): Promise<void> {
  r.yard.lift(hose);
  await r.run(500);
  r.yard.squeeze(hose, 1);
  if (seconds === undefined) await r.flow('the limit', () => r.yard.look().hoses[hose]?.open === false);
  else await r.run(seconds * 1_000);
  r.yard.squeeze(hose, 0);
  await r.run(500);
  r.yard.hang(hose);
  await r.flow('a free hose', () => hoseState(r, hose) === 'idle');
}

export const hoseState = (r: Rig, hose: string): string =>
  r.site.view().hoses.find((h) => h.id === hose)?.state ?? 'none';
