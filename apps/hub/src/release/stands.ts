import { ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import { emptyFleet } from '@fillwright/core/fleet';
import type { ExpectationReply, Release, ReplyOf } from '@fillwright/wire';
import type { App } from '../app.ts';
import { fleetsCompared } from '../reach/compared.ts';
import type { AskOptions } from '../thread/thread.ts';

type Stands = ReplyOf<'releaseStands'>;

const DAY_MS = 86_400_000;
/** Lines of what is gained that are told and kept. */
const LINES = 60;

/** The names under which a person's words for these are given and kept. */
export const GAINED = 'gained';
export const wordFor = (expectation: string): string => `expectation:${expectation}`;

/** What of a release of the draft as it stands wants a person's word, by reach: access gained since the last release, broken expectations. */
export async function standsOf(app: App, fleet: string, options: AskOptions): Promise<Result<Stands, Problem[]>> {
  const { draft, base } = await app.db.as(fleet, async (tx) => ({
    draft: await app.drafts.current(tx, fleet),
    base: (await app.released.newest(tx, fleet)) ?? null,
  }));
  const today = Math.floor(app.now() / DAY_MS);
  const before = async () =>
    (base === null ? undefined : await app.db.as(fleet, (tx) => app.released.fleet(tx, fleet, base))) ??
    emptyFleet(draft.fleet.settings);
  const difference = await fleetsCompared(
    app,
    fleet,
    { name: String(base), fleet: before },
    { name: `draft:${draft.version}`, fleet: async () => draft.fleet },
    { today, within: null, week: false },
    options,
  );
  if (!difference.ok) return difference;
  const expectations = await app.reach.ask<'expectations'>(
    `expectations ${fleet} draft:${draft.version} ${today}`,
    async () => ({ kind: 'expectations', today, fleet: draft.fleet }),
    options,
  );
  if (!expectations.ok) return expectations;
  const gained = difference.value.groups.filter((g) => g.kind === 'gained');
  return ok({
    version: draft.version,
    base,
    gained: {
      points: difference.value.points.gained,
      groups: difference.value.counts.gained,
      lines: gained.slice(0, LINES).map((g) => g.text),
    },
    broken: expectations.value.filter((e) => e.verdict === 'broken'),
  });
}

/** What of it nobody has given a word for. */
export function withoutWord(stands: Stands, words: Readonly<Record<string, string>>): Problem[] {
  const silent = stands.broken.filter((e: ExpectationReply) => !words[wordFor(e.id)]?.trim());
  const problems = silent.map((e) =>
    problem('FW-320', {
      cause: `An expectation is broken and nobody has said why it may stand: ${e.sentence} ${e.text}`,
      at: { in: 'expectations', row: e.id, field: wordFor(e.id) },
    }),
  );
  if (stands.gained.points !== '0' && !words[GAINED]?.trim())
    problems.push(
      problem('FW-309', {
        cause: `By this release ${stands.gained.points} points are gained in ${stands.gained.groups} groups, and nobody has said that it is meant. The largest: ${stands.gained.lines[0] ?? ''}`,
        at: { in: 'release', field: GAINED },
      }),
    );
  return problems;
}

/** What is kept of it with the release. */
export const accessOf = ({ gained, broken }: Stands): NonNullable<Release['access']> => ({
  gained: gained.lines,
  points: gained.points,
  broken: broken.map((e) => `${e.sentence} ${e.text}`),
});

/** The words that belong to something that stands. */
export function wordsKept(stands: Stands, warnings: Iterable<string>): ReadonlySet<string> {
  const gained = stands.gained.points === '0' ? [] : [GAINED];
  return new Set([...warnings, ...stands.broken.map((e) => wordFor(e.id)), ...gained]);
}
