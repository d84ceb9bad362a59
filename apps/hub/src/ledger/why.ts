import {
  changeWords,
  compile,
  type DecisionRequest,
  explain,
  type KnownUsage,
  type PinState,
  RULES,
  rightAnswers,
  ruleOf,
  type WhyCase,
  why,
} from '@fillwright/core/decide';
import type { Fleet } from '@fillwright/core/fleet';
import { localMoment, monthStart, weekStart } from '@fillwright/core/units';
import type { ReplyOf } from '@fillwright/wire';
import type { Released } from '../release/released.ts';
import type { Tx } from '../store/database.ts';
import { zoneOrUtc } from './zones.ts';

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
    readonly steps: readonly { rule: string; on?: { id: string }; facts?: Record<string, string | number> }[];
  };
}

/** 40 days before hold every day of the month and of the week. */
const BEFORE_MS = 40 * 86_400_000;

/** Decides what is on record once more, under the release that the site ran then, with what the office knows was drawn before. */
export async function whyOf(
  released: Released,
  tx: Tx,
  fleet: string,
  id: string,
  wanted: number,
): Promise<ReplyOf<'why'> | 'none' | 'own'> {
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
  const pin: PinState = decision.by === 'pin' ? ((last?.facts?.pin as PinState | undefined) ?? 'wrong') : 'right';
  const request: DecisionRequest = {
    site: record.site,
    hose,
    terminal: record.terminal,
    at: record.at,
    credentials,
    pin,
    answers: record.answers ?? {},
  };
  const usage = await knownBefore(tx, fleet, content, request, decision.cutOff ?? decision.by === 'allowance-cut-off');
  let base: WhyCase = { fleet: content, request, usage };
  if (record.answers === null) {
    const answers = rightAnswers(base);
    const asked = decision.by === 'question' ? last?.on?.id : undefined;
    // A refusal does not keep what was keyed: '?' is no answer to any question.
    if (asked !== undefined) answers[asked] = '?';
    if (Object.keys(answers).length > 0) taken.push('answers as right, but for a question that refused');
    base = { ...base, request: { ...request, answers } };
  }
  const told = why(base, zoneOrUtc, wanted);
  const zone = zoneOrUtc(content.sites.get(record.site)?.zone);
  const again = told.decision;
  const recorded = { approved: decision.approved, by: decision.by, limit: decision.limit ?? null };
  return {
    id,
    site: record.site,
    hose,
    at: record.at,
    revision: record.revision,
    recorded,
    again: { approved: again.approved, by: ruleOf(again), limit: again.approved ? again.limit : null },
    agrees: again.approved === recorded.approved && ruleOf(again) === recorded.by,
    taken,
    lines: explain(again, content).map(({ title, says, text, decides }) => ({ title, says, text, decides })),
    remedies: told.remedies.map((r) => ({
      changes: r.changes.map((c) => changeWords(content, c, zone)),
      limit: r.decision.approved ? r.decision.limit : 0,
    })),
  };
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

interface Before {
  readonly site: string;
  readonly at: number;
  readonly volume: number;
  readonly vehicle: string | null;
  readonly answers: Record<string, string>;
  readonly charged: readonly { holder: string; allowance: string }[] | null;
}

/** What whoever stands there had drawn before, from the ledger as it is now: also what the site had not heard of then. */
async function knownBefore(
  tx: Tx,
  fleet: string,
  content: Fleet,
  request: DecisionRequest,
  cutOff: boolean,
): Promise<KnownUsage> {
  const policy = compile(content, zoneOrUtc);
  const cards = request.credentials.map((n) => policy.cards.get(n));
  const driver = cards.find((c) => c?.driverId)?.driverId ?? null;
  const vehicle = cards.find((c) => c?.vehicleId)?.vehicleId ?? null;
  const rows = await tx.rows<Before>(
    `select site, started_at as at, volume, vehicle, answers, decision->'charged' as charged from fill
     where fleet = $1 and started_at < $2 and started_at >= $3 and (driver = $4 or vehicle = $5) and volume > 0
     order by started_at`,
    [fleet, request.at, request.at - BEFORE_MS, driver, vehicle],
  );
  const zoneAt = (site: string) => zoneOrUtc(content.sites.get(site)?.zone);
  const today = localMoment(zoneAt(request.site), request.at).day;
  const used: Record<string, { day: number; week: number; month: number; fillsToday: number }> = {};
  const readings: Record<string, number> = {};
  for (const row of rows) {
    const { day } = localMoment(zoneAt(row.site), row.at);
    for (const { holder, allowance } of row.charged ?? []) {
      const key = `${holder} ${allowance}`;
      const had = used[key] ?? { day: 0, week: 0, month: 0, fillsToday: 0 };
      used[key] = {
        day: had.day + (day === today ? row.volume : 0),
        week: had.week + (weekStart(day) === weekStart(today) ? row.volume : 0),
        month: had.month + (monthStart(day) === monthStart(today) ? row.volume : 0),
        fillsToday: had.fillsToday + (day === today ? 1 : 0),
      };
    }
    if (row.vehicle === null) continue;
    for (const [question, answer] of Object.entries(row.answers)) {
      const kind = content.questions.get(question)?.kind;
      if ((kind === 'odometer' || kind === 'hours') && /^\d+$/.test(answer.trim()))
        readings[`${row.vehicle} ${kind}`] = Number(answer);
    }
  }
  return { used, readings, cutOff };
}
