import type { Microlitres } from '../units/index.ts';
import { type Holder, opensAt, type Terms } from './policy.ts';
import type { DecisionRequest, RuleCode, Step, Usage, Used } from './types.ts';

/** What a party (a known holder that has allowances) may draw now: its best fitting allowance, or why none fits. */
export interface PartyRoom {
  readonly holder: Holder;
  readonly terms: Terms;
  /** Microlitres; NO_LIMIT where the allowance sets none; may be below zero where more was drawn than is allowed. */
  readonly room: Microlitres;
  /** The rule that leaves this room, or at which the furthest allowance failed. */
  readonly rule: RuleCode;
  readonly fits: boolean;
}

export const NO_LIMIT = Number.MAX_SAFE_INTEGER;
const NOTHING_USED: Used = { day: 0, week: 0, month: 0, fillsToday: 0 };

/** How far an allowance came before it failed; a larger one explains better why a party is refused. */
const FAILS: readonly RuleCode[] = ['allowance-product', 'allowance-site', 'allowance-time', 'allowance-cut-off'];

function failureOf(terms: Terms, product: number, site: number, minuteOfWeek: number, cutOff: boolean): number {
  if (terms.products[product] !== 1) return 0;
  if (terms.sites !== null && terms.sites[site] !== 1) return 1;
  if (terms.open !== null && !opensAt(terms.open, minuteOfWeek)) return 2;
  if (cutOff && terms.counts && terms.row.cutOff === 'decline') return 3;
  return -1;
}

/** SPEC D17 to D20. `sink` receives a step for each allowance that was looked at. */
export function judgeParty(
  holder: Holder,
  request: DecisionRequest,
  product: number,
  site: number,
  minuteOfWeek: number,
  usage: Usage,
  sink: Step[] | null,
): PartyRoom {
  let best: Terms | null = null;
  let bestRoom = Number.MIN_SAFE_INTEGER;
  let bestRule: RuleCode = 'per-fill';
  let furthest = -1;
  let furthestTerms: Terms | null = null;
  for (const terms of holder.terms) {
    const failure = failureOf(terms, product, site, minuteOfWeek, usage.cutOff);
    if (failure >= 0) {
      if (failure > furthest) {
        furthest = failure;
        furthestTerms = terms;
      }
      sink?.push({
        rule: FAILS[failure] as RuleCode,
        says: 'notLookedAt',
        on: onAllowance(terms),
        facts: { holder: holder.key },
      });
      continue;
    }
    const used = terms.counts
      ? (usage.used(holder.key, terms.row.id, request.site, request.at) ?? NOTHING_USED)
      : NOTHING_USED;
    const shared = usage.cutOff && terms.row.cutOff === 'share';
    const row = terms.row;
    let room = NO_LIMIT;
    let rule: RuleCode = 'per-fill';
    if (row.fillsPerDay !== null && used.fillsToday >= row.fillsPerDay) {
      room = 0;
      rule = 'fills-per-day';
    }
    if (row.perFill !== null && row.perFill < room) room = row.perFill;
    if (row.perDay !== null) {
      const left = leftOf(row.perDay, used.day, shared, row.share);
      if (left < room) {
        room = left;
        rule = 'per-day';
      }
    }
    if (row.perWeek !== null) {
      const left = leftOf(row.perWeek, used.week, shared, row.share);
      if (left < room) {
        room = left;
        rule = 'per-week';
      }
    }
    if (row.perMonth !== null) {
      const left = leftOf(row.perMonth, used.month, shared, row.share);
      if (left < room) {
        room = left;
        rule = 'per-month';
      }
    }
    if (sink !== null) sink.push(roomStep(holder, terms, room, rule, used, shared));
    if (room > bestRoom) {
      best = terms;
      bestRoom = room;
      bestRule = rule;
    }
  }
  if (best) return { holder, terms: best, room: bestRoom, rule: bestRule, fits: true };
  return { holder, terms: furthestTerms as Terms, room: 0, rule: FAILS[furthest] as RuleCode, fits: false };
}

const leftOf = (most: Microlitres, used: Microlitres, shared: boolean, share: number): Microlitres => {
  const left = most - used;
  // Half a million gallons times 100 stays far inside exact integers.
  return shared ? Math.floor((left * share) / 100) : left;
};

const onAllowance = (terms: Terms) => ({ table: 'allowances', id: terms.row.id });

function roomStep(holder: Holder, terms: Terms, room: Microlitres, rule: RuleCode, used: Used, shared: boolean): Step {
  const facts: Record<string, string | number> = { holder: holder.key };
  if (rule === 'fills-per-day') facts.used = used.fillsToday;
  if (rule === 'per-day') facts.used = used.day;
  if (rule === 'per-week') facts.used = used.week;
  if (rule === 'per-month') facts.used = used.month;
  if (shared && rule !== 'per-fill' && rule !== 'fills-per-day') facts.share = terms.row.share;
  if (room === NO_LIMIT) return { rule, says: 'pass', on: onAllowance(terms), facts };
  return { rule, says: 'limit', on: onAllowance(terms), limit: room, facts };
}
