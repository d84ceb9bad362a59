import { chmodSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { homedir } from 'node:os';
import { join } from 'node:path';
import type { Result } from '@fillwright/core/errors';
import { type Fleet, fromJson } from '@fillwright/core/fleet';
import type { Caller, Failure } from '@fillwright/wire';
import { call } from '@fillwright/wire';
import { Stopped } from './output.ts';

/** The office that commands talk to, and the sign-in that they keep, in FILLWRIGHT_HOME or the user's own folder (mode 0600). */

interface Kept {
  readonly office: string;
  readonly cookie: string;
}

const homeFolder = () => process.env.FILLWRIGHT_HOME ?? join(homedir(), '.fillwright');
const keptPath = () => join(homeFolder(), 'session.json');

function kept(): Kept | undefined {
  try {
    return JSON.parse(readFileSync(keptPath(), 'utf8')) as Kept;
  } catch {
    return undefined;
  }
}

export function keep(session: Kept): void {
  mkdirSync(homeFolder(), { recursive: true, mode: 0o700 });
  writeFileSync(keptPath(), JSON.stringify(session), { mode: 0o600 });
  chmodSync(keptPath(), 0o600);
}

export const forget = (): void => rmSync(keptPath(), { force: true });

export const DEFAULT_OFFICE = 'http://127.0.0.1:8400';

export function officeOf(given: string | undefined): Caller {
  const session = kept();
  const base = (given ?? process.env.FILLWRIGHT_OFFICE ?? session?.office ?? DEFAULT_OFFICE).replace(/\/$/, '');
  const headers = session && session.office === base ? { cookie: session.cookie } : {};
  return { base, fetch, headers };
}

/** The value, or the door out. */
export function must<T>(result: Result<T, Failure>): T {
  if (result.ok) return result.value;
  throw new Stopped(result.error.all.length > 0 ? result.error.all : [result.error.problem]);
}

export async function fleetOf(office: Caller, which: string): Promise<Fleet> {
  const reply = must(await call(office, 'fleet', { query: { which } }));
  const fleet = fromJson(reply.fleet);
  if (!fleet.ok) throw new Stopped(fleet.error);
  return fleet.value;
}
