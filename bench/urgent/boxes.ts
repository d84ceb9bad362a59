import { join as path } from 'node:path';
import { join, realClock, simulatedYards, startSite } from '@fillwright/site';
import { pino } from 'pino';

/** Whole boxes for `main.ts`, in its own process or in one of their own. */
export interface Wish {
  readonly url: string;
  readonly folder: string;
  readonly codes: readonly (readonly [site: string, code: string])[];
}

function must<T>(done: { ok: true; value: T } | { ok: false; error: unknown }): T {
  if (done.ok) return done.value;
  throw new Error(JSON.stringify(done.error));
}

export async function startBoxes({ url, folder, codes }: Wish): Promise<() => Promise<void>> {
  const log = pino({ level: 'silent' });
  const stops: (() => Promise<void>)[] = [];
  for (const [site, code] of codes) {
    const dataDir = path(folder, site);
    must(await join(url, code, dataDir));
    const clock = realClock();
    const yard = simulatedYards({ clock, seed: site, dataDir });
    const box = must(await startSite({ dataDir, clock, log, yard, port: 0 }));
    stops.push(() => box.stop());
  }
  return async () => {
    for (const stop of stops) await stop();
  };
}

if (process.send)
  process.on('message', (message: Wish | 'time' | 'end') => {
    if (message === 'time') process.send?.(process.cpuUsage());
    else if (message === 'end') process.exit(0);
    else startBoxes(message).then(() => process.send?.('ready'));
  });
