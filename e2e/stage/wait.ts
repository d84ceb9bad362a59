import { setTimeout as pause } from 'node:timers/promises';

export interface Patience {
  /** How long before it is called a failure, ms. */
  readonly ms?: number;
  /** What to say beside the failure: states, tails of logs. */
  readonly evidence?: () => string | Promise<string>;
}

/** Asks again and again until the answer is neither undefined, null nor false; a throw counts as 'not yet'. */
export async function until<T>(
  what: string,
  ask: () => T | Promise<T>,
  patience: Patience = {},
): Promise<Exclude<T, undefined | null | false>> {
  const end = performance.now() + (patience.ms ?? 120_000);
  let last: unknown;
  for (;;) {
    try {
      last = await ask();
      if (last !== undefined && last !== null && last !== false) return last as Exclude<T, undefined | null | false>;
    } catch (cause) {
      last = cause;
    }
    if (performance.now() > end) break;
    await pause(50);
  }
  const seen = last instanceof Error ? last.message : JSON.stringify(last);
  throw new Error(`it did not come to this: ${what}\nlast seen: ${seen}\n${(await patience.evidence?.()) ?? ''}`);
}
