import { compile, type DecisionRequest, type KnownUsage } from '@fillwright/core/decide';
import type { Fleet } from '@fillwright/core/fleet';
import { localMoment, monthStart, weekStart } from '@fillwright/core/units';
import type { Tx } from '../store/database.ts';
import { zoneOrUtc } from './zones.ts';

/** 40 days before hold every day of the month and of the week. */
const BEFORE_MS = 40 * 86_400_000;

interface Before {
  readonly site: string;
  readonly at: number;
  readonly volume: number;
  readonly vehicle: string | null;
  readonly answers: Record<string, string>;
  readonly charged: readonly { holder: string; allowance: string }[] | null;
}

/** What whoever stands there had drawn before, from the ledger as it is now: also what the site had not heard of then. */
export async function knownBefore(
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
