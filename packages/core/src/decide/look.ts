import { offsetMinutesAt, weekdayOf } from '../units/index.ts';
import { judgeParty, NO_LIMIT, type PartyRoom } from './party.ts';
import type { Holder, Policy, PolicyCard } from './policy.ts';
import { judgeAnswer, questionsFor } from './questions.ts';
import type { DecisionRequest, RuleCode, Step, Usage, Verdict } from './types.ts';

/** Nothing useful can be metered below this (microlitres): common practice, no source. */
export const LEAST_USEFUL = 100_000;

/** What a pass over the rules leaves behind: numbers and references only; the words are made when somebody reads them. */
export interface Outcome {
  approved: boolean;
  rule: RuleCode;
  limit: number;
  product: string;
  holderDriver: Holder | null;
  holderVehicle: Holder | null;
  first: PartyRoom | null;
  second: PartyRoom | null;
}

/** Receives every step that is looked at; null while nobody has asked for them, so that deciding allocates next to nothing. */
export type Sink = Step[] | null;

const DAY_MS = 86_400_000;

/** Ends the pass; always false, so that `return refuse(...)` reads as what it is. */
function refuse(
  sink: Sink,
  out: Outcome,
  rule: RuleCode,
  table: string,
  id: string,
  facts?: Step['facts'],
  says: Verdict = 'refuse',
): false {
  sink?.push({ rule, says, ...(table === '' ? {} : { on: { table, id } }), ...(facts ? { facts } : {}) });
  out.rule = rule;
  return false;
}

function pass(sink: Sink, rule: RuleCode, table: string, id: string): void {
  if (sink !== null) sink.push({ rule, says: 'pass', on: { table, id } });
}

/** One pass over the rules of SPEC.md in their order, into `out`; whether it was approved. Facts are made only for a sink. */
export function look(policy: Policy, request: DecisionRequest, usage: Usage, sink: Sink, out: Outcome): boolean {
  const hose = policy.hoses.get(request.hose);
  const hoseHere = hose !== undefined && hose.row.site === request.site;
  const site = hoseHere ? hose.site : policy.sites.get(request.site);
  if (site === undefined || !site.row.active) return refuse(sink, out, 'site-known', 'sites', request.site);
  pass(sink, 'site-known', 'sites', request.site);
  if (!hoseHere || !hose.row.active) return refuse(sink, out, 'hose-known', 'hoses', request.hose);
  pass(sink, 'hose-known', 'hoses', request.hose);
  out.product = hose.row.product;
  if (request.terminal) {
    if (!hose.terminals.has(request.terminal)) return refuse(sink, out, 'hose-terminal', 'hoses', request.hose);
    pass(sink, 'hose-terminal', 'hoses', request.hose);
  }

  const local = request.at + offsetMinutesAt(site.zone, request.at) * 60_000;
  const day = Math.floor(local / DAY_MS);
  if (!lookAtCards(policy, request, day, sink, out)) return false;
  const driver = out.holderDriver;
  const vehicle = out.holderVehicle;
  if (driver !== null && !lookAtHolder(driver, site.index, day, sink, out)) return false;
  if (vehicle !== null && !lookAtHolder(vehicle, site.index, day, sink, out)) return false;

  const missing = missingOf(site.row.identify, driver, vehicle);
  if (missing !== '')
    return refuse(sink, out, 'identified', 'sites', request.site, sink ? { missing } : undefined, 'ask');
  pass(sink, 'identified', 'sites', request.site);
  if (site.closed.size > 0 && site.closed.has(day)) return refuse(sink, out, 'site-open', 'sites', request.site);
  pass(sink, 'site-open', 'sites', request.site);
  if (site.row.pin && driver !== null) {
    if (request.pin !== 'right') {
      const says = request.pin === 'notAsked' ? 'ask' : 'refuse';
      return refuse(sink, out, 'pin', 'drivers', driver.id, sink ? { pin: request.pin } : undefined, says);
    }
    pass(sink, 'pin', 'drivers', driver.id);
  }
  for (const question of questionsFor(site, driver, vehicle)) {
    const verdict = judgeAnswer(question, request.answers[question.id], vehicle, usage);
    if (verdict === null) continue;
    if (verdict.says === 'ask') return refuse(sink, out, 'question', 'questions', question.id, undefined, 'ask');
    if (verdict.says === 'pass') {
      pass(sink, 'question', 'questions', question.id);
      continue;
    }
    const facts = { why: verdict.why, ...(verdict.last === undefined ? {} : { last: verdict.last }) };
    if (verdict.says === 'refuse') return refuse(sink, out, 'question', 'questions', question.id, facts);
    sink?.push({ rule: 'question', says: 'pass', on: { table: 'questions', id: question.id }, facts });
  }

  const minuteOfWeek = weekdayOf(day) * 1440 + Math.floor((local - day * DAY_MS) / 60_000);
  if (driver !== null && driver.terms.length > 0) {
    out.first = judgeParty(driver, request, hose.product, site.index, minuteOfWeek, usage, sink);
    if (!lookAtRoom(out.first, sink, out)) return false;
  }
  if (vehicle !== null && vehicle.terms.length > 0) {
    out.second = judgeParty(vehicle, request, hose.product, site.index, minuteOfWeek, usage, sink);
    if (!lookAtRoom(out.second, sink, out)) return false;
  }
  if (out.first === null && out.second === null) {
    const someone = driver ?? vehicle;
    return refuse(sink, out, 'allowance', someone?.table ?? '', someone?.id ?? '');
  }
  return settle(out, hose.row.id, hose.row.mostPerFill, sink);
}

/** SPEC D5 to D8: leaves the driver and the vehicle in `out`. */
function lookAtCards(policy: Policy, request: DecisionRequest, day: number, sink: Sink, out: Outcome): boolean {
  const numbers = request.credentials;
  if (numbers.length === 0) return refuse(sink, out, 'card-known', '', '', undefined, 'ask');
  const stopped = policy.stopped.size > 0 ? policy.stopped : null;
  // One credential is the common case: it is looked up once.
  let only: PolicyCard | null = null;
  for (let i = 0; i < numbers.length; i++) {
    const number = numbers[i] as string;
    const card = policy.cards.get(number);
    if (!card)
      return refuse(
        sink,
        out,
        'card-known',
        '',
        '',
        sink ? { number, why: card === null ? 'twice' : 'unknown' } : undefined,
      );
    pass(sink, 'card-known', 'credentials', card.id);
    if (card.stopped || stopped?.has(number)) return refuse(sink, out, 'card-stopped', 'credentials', card.id);
    pass(sink, 'card-stopped', 'credentials', card.id);
    if (day < card.from || day > card.until) {
      return refuse(
        sink,
        out,
        'card-dates',
        'credentials',
        card.id,
        sink ? { why: day < card.from ? 'early' : 'late' } : undefined,
      );
    }
    pass(sink, 'card-dates', 'credentials', card.id);
    only = card;
  }
  let driverId: string | null = null;
  let vehicleId: string | null = null;
  for (let i = 0; i < numbers.length; i++) {
    const card = numbers.length === 1 ? (only as PolicyCard) : (policy.cards.get(numbers[i] as string) as PolicyCard);
    const nobody = card.driverId === null && card.vehicleId === null;
    if (nobody || differs(card.driverId, driverId) || differs(card.vehicleId, vehicleId)) {
      return refuse(
        sink,
        out,
        'cards-agree',
        'credentials',
        card.id,
        sink ? { why: nobody ? 'nobody' : 'clash' } : undefined,
      );
    }
    driverId ??= card.driverId;
    vehicleId ??= card.vehicleId;
    out.holderDriver ??= card.driver ?? null;
    out.holderVehicle ??= card.vehicle ?? null;
  }
  if (driverId !== null && out.holderDriver === null) return refuse(sink, out, 'holder-active', 'drivers', driverId);
  if (vehicleId !== null && out.holderVehicle === null)
    return refuse(sink, out, 'holder-active', 'vehicles', vehicleId);
  if (sink) pass(sink, 'cards-agree', 'credentials', (policy.cards.get(numbers[0] as string) as PolicyCard).id);
  return true;
}

const differs = (a: string | null, b: string | null): boolean => a !== null && b !== null && a !== b;

/** SPEC D9. */
function lookAtHolder(holder: Holder, site: number, day: number, sink: Sink, out: Outcome): boolean {
  if (!holder.active) return refuse(sink, out, 'holder-active', holder.table, holder.id);
  pass(sink, 'holder-active', holder.table, holder.id);
  if (day < holder.from || day > holder.until) {
    return refuse(
      sink,
      out,
      'holder-dates',
      holder.table,
      holder.id,
      sink ? { why: day < holder.from ? 'early' : 'late' } : undefined,
    );
  }
  pass(sink, 'holder-dates', holder.table, holder.id);
  if (holder.sites !== null && holder.sites[site] !== 1)
    return refuse(sink, out, 'holder-site', holder.table, holder.id);
  pass(sink, 'holder-site', holder.table, holder.id);
  return true;
}

/** SPEC D10: whose credential is still missing; empty where nobody's is. */
function missingOf(
  identify: string,
  driver: Holder | null,
  vehicle: Holder | null,
): '' | 'driver' | 'vehicle' | 'either' {
  if (driver === null && (identify === 'driver' || identify === 'both')) return 'driver';
  if (vehicle === null && (identify === 'vehicle' || identify === 'both')) return 'vehicle';
  return identify === 'either' && driver === null && vehicle === null ? 'either' : '';
}

function lookAtRoom(party: PartyRoom, sink: Sink, out: Outcome): boolean {
  if (party.fits && party.room >= LEAST_USEFUL) return true;
  const facts = sink ? { holder: party.holder.key, ...(party.fits ? { left: party.room } : {}) } : undefined;
  return refuse(sink, out, party.rule, 'allowances', party.terms.row.id, facts);
}

/** SPEC D21, D22: the least of every limit, the earliest among equals. */
function settle(out: Outcome, hose: string, mostPerFill: number, sink: Sink): boolean {
  let limit = NO_LIMIT;
  const { first, second } = out;
  if (first !== null && first.room < limit) {
    limit = first.room;
    out.rule = first.rule;
  }
  if (second !== null && second.room < limit) {
    limit = second.room;
    out.rule = second.rule;
  }
  sink?.push({ rule: 'hose-most', says: 'limit', on: { table: 'hoses', id: hose }, limit: mostPerFill });
  if (mostPerFill < limit) {
    limit = mostPerFill;
    out.rule = 'hose-most';
  }
  const vehicle = out.holderVehicle;
  if (vehicle !== null && vehicle.capacity !== null) {
    sink?.push({
      rule: 'vehicle-tank',
      says: 'limit',
      on: { table: 'vehicles', id: vehicle.id },
      limit: vehicle.capacity,
    });
    if (vehicle.capacity < limit) {
      limit = vehicle.capacity;
      out.rule = 'vehicle-tank';
    }
  }
  out.limit = limit;
  if (limit >= LEAST_USEFUL) {
    out.approved = true;
    return true;
  }
  const [table, id] = out.rule === 'hose-most' ? ['hoses', hose] : ['vehicles', vehicle?.id ?? ''];
  return refuse(sink, out, out.rule, table as string, id as string, sink ? { left: limit } : undefined);
}
