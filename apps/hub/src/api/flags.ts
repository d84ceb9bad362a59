import { err, ok, problem } from '@fillwright/core/errors';
import { flagsOf, setWord } from '../flags/flags.ts';
import type { HandlersOf } from './route.ts';

const DAY_MS = 86_400_000;
const SHOWN_DAYS = 30;

/** Whole days, so that whoever asks on one day asks the same. A yard's clock may run a little ahead of the office's. */
function spanOf(now: number, { since, until }: { since?: number | undefined; until?: number | undefined }) {
  const today = now - (now % DAY_MS);
  return { since: since ?? today - SHOWN_DAYS * DAY_MS, until: until ?? today + 2 * DAY_MS };
}

export const flagHandlers: HandlersOf<'flags' | 'lookedAtFlag'> = {
  flags: async ({ app, who, query }) => {
    const { since, until } = spanOf(app.now(), query);
    if (since >= until) return err([problem('FW-770', { at: { field: 'since' } })]);
    return flagsOf(app, who.fleet, since, until);
  },

  lookedAtFlag: async ({ app, who, body }) => {
    const now = app.now();
    const { since, until } = spanOf(now, body);
    const found = await flagsOf(app, who.fleet, since, until);
    if (!found.ok) return found;
    const flag = found.value.flags.find((f) => f.id === body.flag);
    if (!flag) return err([problem('FW-771', { at: { in: 'flags', row: body.flag } })]);
    const { looked: _, ...said } = flag;
    const looked = body.note === null ? null : { at: now, by: who.name, note: body.note.trim() };
    await app.db.as(who.fleet, (tx) => setWord(tx, who.fleet, said, looked));
    app.tell(who.fleet, { kind: 'flag', id: flag.id });
    return ok({ looked });
  },
};
