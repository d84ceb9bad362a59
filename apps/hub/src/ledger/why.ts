import {
  type DecisionRequest,
  type KnownUsage,
  type PinState,
  RULES,
  rightAnswers,
  type WhyCase,
} from '@fillwright/core/decide';
import type { Fleet } from '@fillwright/core/fleet';
import type { AskedFacts } from '@fillwright/core/island';
import type { ReplyOf } from '@fillwright/wire';
import type { Released } from '../release/released.ts';
import type { Tx } from '../store/database.ts';
import { knownBefore } from './known-before.ts';
import { type Asking, caseName } from './why-told.ts';

interface OnRecord {
  readonly site: string;
  readonly terminal: string;
  readonly hose: string | null;
  readonly at: number;
  readonly revision: number;
  readonly answers: Record<string, string> | null;
  readonly decision: {
    readonly approved: boolean;
    readonly by: string;
    readonly limit?: number;
    readonly cutOff?: boolean;
    readonly credentials: readonly string[];
    readonly asked?: AskedFacts;
    readonly steps: readonly { rule: string; on?: { id: string }; facts?: Record<string, string | number> }[];
  };
}

/** What is on record, to be decided once more under the release that the site ran then, with what the office knows was drawn before. */
export async function whyOf(
  released: Released,
  tx: Tx,
  fleet: string,
  id: string,
): Promise<Asking<ReplyOf<'why'>> | 'none' | 'own'> {
  const record = await recordOf(tx, fleet, id);
  if (!record) return 'none';
  const { decision } = record;
  const content = await released.fleet(tx, fleet, record.revision);
  if (!content || !Object.hasOwn(RULES, decision.by)) return 'own';
  const hose = record.hose ?? firstHose(content, record.terminal);
  if (hose === undefined) return 'own';
  const credentials = decision.credentials.map((c) => content.credentials.get(c)?.number ?? c);
  const taken: string[] = [];
  if (record.hose === null) taken.push('no hose was chosen yet: the first that this terminal may choose');
  const last = decision.steps.at(-1);
  const { asked } = decision;
  const keyed: PinState = decision.by === 'pin' ? ((last?.facts?.pin as PinState | undefined) ?? 'wrong') : 'right';
  const request: DecisionRequest = {
    site: record.site,
    hose,
    terminal: record.terminal,
    at: record.at,
    credentials,
    // What was not asked for yet would have been right: else every answer would begin with 'key the right PIN'.
    pin: asked === undefined || asked.pin === 'notAsked' ? keyed : asked.pin,
    answers: record.answers ?? asked?.answers ?? {},
  };
  const cutOff = asked?.cutOff ?? decision.cutOff ?? decision.by === 'allowance-cut-off';
  const known = await knownBefore(tx, fleet, content, request, cutOff);
  let base: WhyCase = { fleet: content, request, usage: asked === undefined ? known : asThen(known, asked) };
  if (record.answers === null) {
    const answers: Record<string, string> = { ...rightAnswers(base), ...request.answers };
    const refusing = decision.by === 'question' ? last?.on?.id : undefined;
    // An older record does not keep what was keyed: '?' is no answer to any question.
    if (refusing !== undefined && asked === undefined) answers[refusing] = '?';
    if (Object.keys(answers).length > Object.keys(request.answers).length)
      taken.push(
        asked === undefined
          ? 'answers as right, but for a question that refused'
          : 'answers that were not asked for yet as right',
      );
    base = { ...base, request: { ...request, answers } };
  }
  if (asked === undefined) taken.push('what was drawn before as the ledger has it now');
  const recorded = { approved: decision.approved, by: decision.by, limit: decision.limit ?? null };
  const { site, at, revision } = record;
  return {
    base,
    name: caseName(revision, base),
    reply: (told) => ({
      ...{ id, site, hose, at, revision, recorded },
      ...told,
      agrees: told.again.approved === recorded.approved && told.again.by === recorded.by,
      taken,
    }),
  };
}

/** What the site looked at goes before what the ledger says now; the rest, which another choice would look at, is the ledger's. */
function asThen(known: KnownUsage, asked: AskedFacts): KnownUsage {
  const readings: Record<string, number> = { ...known.readings };
  for (const [key, reading] of Object.entries(asked.readings))
    if (reading === null) delete readings[key];
    else readings[key] = reading;
  return { used: { ...known.used, ...asked.used }, readings, cutOff: asked.cutOff };
}

async function recordOf(tx: Tx, fleet: string, id: string): Promise<OnRecord | undefined> {
  const fill = await tx.row<OnRecord>(
    'select site, terminal, hose, started_at as at, revision, answers, decision from fill where fleet = $1 and id = $2',
    [fleet, id],
  );
  return (
    fill ??
    (await tx.row<OnRecord>(
      'select site, terminal, hose, at, revision, null as answers, decision from refusal where fleet = $1 and id = $2',
      [fleet, id],
    ))
  );
}

const firstHose = (fleet: Fleet, terminal: string): string | undefined =>
  [...fleet.hoses.values()]
    .filter((h) => h.active && h.terminals.includes(terminal))
    .sort((a, b) => a.number - b.number)[0]?.id;
