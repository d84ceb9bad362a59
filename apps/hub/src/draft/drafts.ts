import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import { applyEdits, type Edit, editsBetween, type Fleet } from '@fillwright/core/fleet';
import type { Change, DraftChanged } from '@fillwright/wire';
import type { Database, Tx } from '../store/database.ts';
import { readFleet, writeRows } from './rows.ts';
import { NO_STEPS, type Step, type Steps, stepped } from './steps.ts';
import { meetings, type Since } from './touch.ts';

/** The draft of one fleet as this process knows it. */
export interface Draft {
  readonly version: number;
  readonly base: number | null;
  readonly fleet: Fleet;
  readonly steps: Steps;
}

export interface Edited {
  readonly draft: Draft;
  readonly reply: DraftChanged;
}

interface Proposal {
  /** The version that the edits were made at. */
  readonly version: number;
  readonly edits: readonly Edit[];
  readonly by: string;
  readonly note: string;
  readonly kind: 'edit' | 'import';
  /** True where undo passes over it. */
  readonly lasting?: boolean;
}

export interface Drafts {
  /** As it stands in the database, whoever changed it last. */
  current(tx: Tx, fleet: string): Promise<Draft>;
  edit(
    fleet: string,
    proposal: Proposal,
    also?: (tx: Tx, draft: Draft) => Promise<void>,
  ): Promise<Result<Edited, Problem[]>>;
  undo(fleet: string, version: number, by: string): Promise<Result<Edited, Problem[]>>;
  redo(fleet: string, version: number, by: string): Promise<Result<Edited, Problem[]>>;
}

/**
 * Keeps each fleet's draft as an immutable value beside the database. A change is written under the fleet's row lock, and what other
 * hubs wrote meanwhile is read before it, so that several hubs may serve one database.
 */
export function openDrafts(db: Database, now: () => number): Drafts {
  const known = new Map<string, Draft>();

  const current = async (tx: Tx, fleet: string): Promise<Draft> => {
    const row = await tx.row<{ version: number; base: number | null }>(
      'select version, base from fleet where fleet = $1',
      [fleet],
    );
    if (!row) throw new Error(`no fleet ${fleet}`);
    const have = known.get(fleet);
    if (have && have.version <= row.version) {
      const next = have.version === row.version ? have : await caughtUp(tx, fleet, have);
      return keep(fleet, { ...next, base: row.base });
    }
    const steps = await tx.rows<Step>(
      'select version, kind, lasting from change where fleet = $1 and version <= $2 order by version',
      [fleet, row.version],
    );
    return keep(fleet, {
      version: row.version,
      base: row.base,
      fleet: await readFleet(tx, fleet, row.version),
      steps: steps.reduce(stepped, NO_STEPS),
    });
  };

  const keep = (fleet: string, draft: Draft): Draft => {
    const have = known.get(fleet);
    if (have && have.version === draft.version && have.base === draft.base) return have;
    if (!have || have.version <= draft.version) known.set(fleet, draft);
    return draft;
  };

  const write = async (
    tx: Tx,
    fleet: string,
    draft: Draft,
    after: Fleet,
    change: { kind: Change['kind']; by: string; note: string; lasting: boolean },
  ): Promise<{ draft: Draft; edits: Edit[] }> => {
    const edits = editsBetween(draft.fleet, after);
    if (edits.length === 0) return { draft, edits };
    const version = draft.version + 1;
    await tx.rows(
      `insert into change (fleet, version, at, by, kind, note, edits, inverse, lasting)
       values ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
      [
        fleet,
        version,
        now(),
        change.by,
        change.kind,
        change.note,
        JSON.stringify(edits),
        JSON.stringify(editsBetween(after, draft.fleet)),
        change.lasting,
      ],
    );
    await writeRows(tx, fleet, version, edits, after);
    await tx.rows('update fleet set version = $2 where fleet = $1', [fleet, version]);
    const steps = stepped(draft.steps, { ...change, version });
    return { draft: { ...draft, version, fleet: after, steps }, edits };
  };

  const locked = async <T>(fleet: string, work: (tx: Tx, draft: Draft) => Promise<T>): Promise<T> =>
    db.as(fleet, async (tx) => {
      await tx.rows('select from fleet where fleet = $1 for update', [fleet]);
      return work(tx, await current(tx, fleet));
    });

  const finish = (fleet: string, made: Result<Edited, Problem[]>): Result<Edited, Problem[]> => {
    if (made.ok) keep(fleet, made.value.draft);
    return made;
  };

  const step = async (
    fleet: string,
    version: number,
    by: string,
    kind: 'undo' | 'redo',
  ): Promise<Result<Edited, Problem[]>> =>
    finish(
      fleet,
      await locked(fleet, async (tx, draft): Promise<Result<Edited, Problem[]>> => {
        const since = await changesSince(tx, fleet, version);
        if (version !== draft.version) return err([overtaken(since)]);
        const of = (kind === 'undo' ? draft.steps.undo : draft.steps.redo).at(-1);
        if (of === undefined) return err([problem('FW-305')]);
        const row = await tx.row<{ inverse: Edit[]; note: string }>(
          'select inverse, note from change where fleet = $1 and version = $2',
          [fleet, of],
        );
        const after = applyEdits(draft.fleet, row?.inverse ?? []);
        if (!after.ok) return after;
        const made = await write(tx, fleet, draft, after.value, { kind, by, note: row?.note ?? '', lasting: false });
        return ok({ draft: made.draft, reply: replyOf(made.draft, made.edits) });
      }),
    );

  return {
    current,
    edit: async (fleet, proposal, also) =>
      finish(
        fleet,
        await locked(fleet, async (tx, draft): Promise<Result<Edited, Problem[]>> => {
          if (proposal.version > draft.version)
            return err([problem('FW-201', { at: { field: 'version' }, expected: `at most ${draft.version}` })]);
          const since = await changesSince(tx, fleet, proposal.version);
          const met = meetings(proposal.edits, since);
          if (met.length > 0) return err(met);
          const after = applyEdits(draft.fleet, proposal.edits);
          if (!after.ok) return after;
          const made = await write(tx, fleet, draft, after.value, { lasting: false, ...proposal });
          await also?.(tx, made.draft);
          const edits = [...since.flatMap((s) => s.edits), ...made.edits];
          return ok({ draft: made.draft, reply: replyOf(made.draft, edits) });
        }),
      ),
    undo: (fleet, version, by) => step(fleet, version, by, 'undo'),
    redo: (fleet, version, by) => step(fleet, version, by, 'redo'),
  };
}

const replyOf = (draft: Draft, edits: Edit[]): DraftChanged => ({
  version: draft.version,
  canUndo: draft.steps.undo.length > 0,
  canRedo: draft.steps.redo.length > 0,
  edits,
});

const changesSince = (tx: Tx, fleet: string, version: number): Promise<Since[]> =>
  tx.rows<Since>('select version, by, edits from change where fleet = $1 and version > $2 order by version', [
    fleet,
    version,
  ]);

async function caughtUp(tx: Tx, fleet: string, have: Draft): Promise<Draft> {
  const changes = await tx.rows<Since & Step>(
    'select version, by, edits, kind, lasting from change where fleet = $1 and version > $2 order by version',
    [fleet, have.version],
  );
  let draft = have;
  for (const change of changes) {
    const after = applyEdits(draft.fleet, change.edits);
    if (!after.ok) throw new Error(`change ${change.version} of ${fleet} does not follow`);
    const steps = stepped(draft.steps, change);
    draft = { ...draft, version: change.version, fleet: after.value, steps };
  }
  return draft;
}

const overtaken = (since: readonly Since[]): Problem => {
  const last = since.at(-1);
  return problem(
    'FW-301',
    last ? { cause: `${last.by} changed the draft after you looked (version ${last.version}).` } : {},
  );
};
