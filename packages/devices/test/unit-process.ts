import { type ChildProcess, fork } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import type { UnitDeed, UnitLook, UnitSetup } from './io-unit.ts';

/** Everything on a unit's line lives so many times faster than the wall. */
export const PACE = 4;
export const fastClock = {
  monotonic: () => performance.now() * PACE,
  after(ms: number, call: () => void) {
    const timer = setTimeout(call, ms / PACE);
    return () => clearTimeout(timer);
  },
};
export const pass = (ms: number) => new Promise<void>((done) => void fastClock.after(ms, done));

/** Waits at most so many ms of that clock. */
export async function until(what: string, holds: () => boolean | Promise<boolean>, ms = 80_000): Promise<void> {
  const end = fastClock.monotonic() + ms;
  while (!(await holds())) {
    if (fastClock.monotonic() > end) throw new Error(`waited in vain for ${what}`);
    await pass(50);
  }
}

export interface Unit {
  readonly port: number;
  deed(deed: UnitDeed): Promise<UnitLook>;
}

/** The process in which Modbus units live. */
export function unitProcess(): { open(setup: UnitSetup): Promise<Unit>; end(): void } {
  const child: ChildProcess = fork(fileURLToPath(new URL('./io-unit.ts', import.meta.url)), {
    execArgv: ['--import', 'tsx'],
    stdio: ['ignore', 'inherit', 'inherit', 'ipc'],
  });
  const waiting = new Map<number, (value: never) => void>();
  let n = 0;
  child.on('message', ({ id, value }: { id: number; value: never }) => {
    waiting.get(id)?.(value);
    waiting.delete(id);
  });
  const ask = <T>(message: object): Promise<T> =>
    new Promise((done) => {
      const id = ++n;
      waiting.set(id, done);
      child.send({ ...message, id });
    });
  return {
    async open(setup) {
      const { unit, port } = await ask<{ unit: number; port: number }>({ open: setup });
      return { port, deed: (deed) => ask<UnitLook>({ unit, deed }) };
    },
    end: () => child.disconnect(),
  };
}
