import type { KeysMessage, SignedText } from '@fillwright/wire';
import { openHandover, openSigned, saysOldKeyEnds } from '@fillwright/wire/keys';
import { z } from 'zod';

/**
 * Whose word this box goes by. It begins with the key that the office gave when the box joined, or that a person has set at the box since, and
 * follows statements that give the key on: in their order, each by the key that it has by then, an older one never again. The key that was is
 * good until the office says with the new one that all have it, or until the statement's own date.
 */
export interface OfficeTrust {
  readonly version: number;
  readonly publicKey: string;
  /** What the office has signed; undefined where it did not. */
  open(text: SignedText): unknown;
  /** The same of what was good when it came and has lain here since: also by keys that ended. */
  openKept(text: SignedText): unknown;
  hear(message: KeysMessage): 'followed' | 'known' | 'refused';
}

const shape = z.strictObject({
  /** The key that the box was given by hand or by joining; another one there begins all anew. */
  given: z.string(),
  version: z.int(),
  key: z.string(),
  old: z.strictObject({ key: z.string(), until: z.int() }).nullable(),
  past: z.array(z.string()),
});
type Kept = z.infer<typeof shape>;

const KEY = 'officeKeys';

export interface TrustOptions {
  readonly given: { readonly key: string; readonly version: number };
  readonly get: (key: string) => string | undefined;
  /** False where it cannot be kept: then nothing has changed. */
  readonly set: (key: string, value: string) => boolean;
  readonly now: () => number;
  /** Looks at a signature; without it, Node's own crypto does. */
  readonly opens?: ((text: SignedText, publicKey: string) => unknown) | undefined;
}

export function openTrust({ given, get, set, now, opens = openSigned }: TrustOptions): OfficeTrust {
  const fresh: Kept = { given: given.key, version: given.version, key: given.key, old: null, past: [] };
  const kept = get(KEY);
  const read = kept === undefined ? undefined : shape.parse(JSON.parse(kept));
  // Bundles that lie here were signed with keys before; who set a new one by hand goes on running them.
  let state: Kept =
    read === undefined
      ? fresh
      : read.given === given.key
        ? read
        : { ...fresh, past: [...read.past, read.key, ...(read.old ? [read.old.key] : [])] };

  const become = (next: Kept): boolean => {
    if (!set(KEY, JSON.stringify(next))) return false;
    state = next;
    return true;
  };
  const openBy = (keys: readonly string[], text: SignedText): unknown => {
    for (const key of keys)
      try {
        const value = opens(text, key);
        if (value !== undefined) return value;
      } catch {
        // A signature that is none.
      }
    return undefined;
  };

  return {
    get version() {
      return state.version;
    },
    get publicKey() {
      return state.key;
    },
    open: (text) => openBy([state.key, ...(state.old && now() < state.old.until ? [state.old.key] : [])], text),
    openKept: (text) => openBy([state.key, ...(state.old ? [state.old.key] : []), ...state.past], text),
    hear(message) {
      let next = state;
      for (const text of message.handovers) {
        const said = openHandover(text);
        if (!said) return 'refused';
        if (said.version <= next.version) continue;
        if (said.version !== next.version + 1 || said.from !== next.key) return 'refused';
        next = {
          ...next,
          version: said.version,
          key: said.to,
          old: { key: said.from, until: said.oldUntil },
          past: next.old ? [...next.past, next.old.key] : next.past,
        };
      }
      const { ends } = message;
      if (ends && next.old && saysOldKeyEnds(ends, next.version, next.key))
        next = { ...next, old: null, past: [...next.past, next.old.key] };
      if (next === state) return 'known';
      return become(next) ? 'followed' : 'refused';
    },
  };
}
