import type { Flag } from '@fillwright/core/flags';
import type { Fleet } from '@fillwright/core/fleet';
import type { FlagReply } from '@fillwright/wire';
import type { App } from '../app.ts';
import type { Tx } from '../store/database.ts';
import { fillsForFlags, looseForFlags } from './input.ts';

const DAY_MS = 86_400_000;
/** Habits are learnt from so long before the span that is asked for. */
const HABIT_DAYS = 120;

export interface FlagWord {
  readonly flag: string;
  readonly at: number;
  readonly by: string;
  readonly note: string;
  readonly said: Omit<FlagReply, 'looked'>;
}

/** What is unusual from `since` until `until`, with people's words. What a person has looked at is shown also if it would no longer be found. */
export async function flagsOf(app: App, fleet: string, since: number, until: number) {
  const from = since - HABIT_DAYS * DAY_MS;
  const state = await app.db.as(fleet, async (tx) => {
    const draft = await app.drafts.current(tx, fleet);
    const mark = await tx.row<{ mark: string }>(
      `select concat_ws(' ',
         (select concat_ws('/', count(*), max(started_at), max(ended_at), sum(volume), count(proving)) from fill
          where fleet = $1 and started_at >= $2 and started_at < $3 and state <> 'open'),
         (select concat_ws('/', count(*), max(at)) from entry where fleet = $1 and kind = 'alarm' and at >= $2 and at < $3)) as mark`,
      [fleet, from, until],
    );
    return {
      content: draft.fleet,
      version: draft.version,
      mark: mark?.mark ?? '',
      words: await wordsOn(tx, fleet, since, until),
    };
  });
  const { content, version, mark, words } = state;
  // Flags are found up to the newest fill, so that the same answer serves until there is another.
  const key = ['flags', fleet, version, since, mark].join(' ');
  const found = await app.figures.ask(key, () =>
    app.db.as(fleet, async (tx) => ({
      kind: 'flags' as const,
      fleet: content,
      fills: await fillsForFlags(tx, fleet, content, from, until),
      loose: await looseForFlags(tx, fleet, content, since, until),
      since,
    })),
  );
  if (!found.ok) return found;
  const word = new Map(words.map((w) => [w.flag, w]));
  const now = found.value.filter((f) => f.at < until).map((f) => replyOf(f, content, word.get(f.id)));
  const here = new Set(now.map((f) => f.id));
  const gone = words.filter((w) => !here.has(w.flag)).map((w) => ({ ...w.said, looked: lookedOf(w) }));
  const flags = [...now, ...gone].sort((a, b) => b.at - a.at || (a.id < b.id ? -1 : 1));
  return { ok: true as const, value: { since, until, flags } };
}

const lookedOf = ({ at, by, note }: FlagWord) => ({ at, by, note });

function replyOf(flag: Flag, content: Fleet, word: FlagWord | undefined): FlagReply {
  const { id, code, title, reason, next, source, at, text, evidence, on } = flag;
  const hose = on.find((r) => r.table === 'hoses');
  return {
    ...{ id, code, title, reason, next, source, at, text },
    on: on.map((r) => ({ ...r })),
    evidence: { ...evidence },
    // A fill's id begins with its site, wherever its journal stood.
    site: siteOf(on, content) ?? (hose && content.hoses.get(hose.id)?.site) ?? null,
    looked: word ? lookedOf(word) : null,
  };
}

function siteOf(on: Flag['on'], content: Fleet): string | undefined {
  const fill = on.find((r) => r.table === 'fills')?.id ?? '';
  return [...content.sites.keys()].find((site) => fill.startsWith(`${site}.`));
}

const wordsOn = (tx: Tx, fleet: string, since: number, until: number): Promise<FlagWord[]> =>
  tx.rows<FlagWord>(
    `select flag, at, by, note, said from flag_word where fleet = $1 and (said->>'at')::bigint >= $2 and (said->>'at')::bigint < $3`,
    [fleet, since, until],
  );

/** Writes a word on a flag, instead of an earlier one; null takes it back. */
export async function setWord(
  tx: Tx,
  fleet: string,
  flag: Omit<FlagReply, 'looked'>,
  word: { at: number; by: string; note: string } | null,
): Promise<void> {
  await tx.rows('delete from flag_word where fleet = $1 and flag = $2', [fleet, flag.id]);
  if (!word) return;
  await tx.rows('insert into flag_word (fleet, flag, at, by, note, said) values ($1, $2, $3, $4, $5, $6)', [
    fleet,
    flag.id,
    word.at,
    word.by,
    word.note,
    JSON.stringify(flag),
  ]);
}
