import { offsetMinutesAt, weekdayOf } from '../units/index.ts';
import { judgeParty, NO_LIMIT, onAllowance, type PartyRoom } from './party.ts';
import type { Holder, Policy, PolicyCard } from './policy.ts';
import { judgeAnswer, questionsFor } from './questions.ts';
import { NO_USAGE, RecordedUsage } from './recorded-usage.ts';
import type { Approval, Decision, DecisionRequest, Refusal, RuleCode, Step, Usage, Verdict } from './types.ts';

/** Nothing useful can be metered below this (microlitres): common practice, no source. */
export const LEAST_USEFUL = 100_000;

/** Receives every step that is looked at; null while nobody has asked for them, so that deciding allocates next to nothing. */
type Sink = Step[] | null;
type Thing = { readonly table: string; readonly id: string };

/** What a pass over the rules found. Numbers and references only: the words are made when somebody reads them. */
interface Outcome {
  approved: boolean;
  rule: RuleCode;
  limit: number;
  product: string;
  driver: Holder | null;
  vehicle: Holder | null;
  first: PartyRoom | null;
  second: PartyRoom | null;
}

/**
 * Decides one request: approve with a limit, or refuse, with every rule that was looked at. Pure: no I/O, no clock, no randomness; the
 * same policy, request and usage give the same answer. The answer's `steps`, `by` and `notes` are worked out when first read, by the
 * same pass over the rules and with the usage as it was. See SPEC.md (D1 to D25).
 */
export function decide(policy: Policy, request: DecisionRequest, usage: Usage): Decision {
  const heard = usage === NO_USAGE ? usage : new RecordedUsage(usage);
  const out = run(policy, request, heard, null);
  return out.approved ? new Approved(policy, request, heard, out) : new Refused(policy, request, heard, out);
}

function refuse(
  sink: Sink,
  out: Outcome,
  rule: RuleCode,
  on: Thing | null,
  says: Verdict = 'refuse',
  facts?: Step['facts'],
): Outcome {
  sink?.push({ rule, says, ...(on ? { on } : {}), ...(facts ? { facts } : {}) });
  out.rule = rule;
  return out;
}

function pass(sink: Sink, rule: RuleCode, table: string, id: string): void {
  sink?.push({ rule, says: 'pass', on: { table, id } });
}

const DAY_MS = 86_400_000;

function run(policy: Policy, request: DecisionRequest, usage: Usage, sink: Sink): Outcome {
  const out: Outcome = {
    approved: false,
    rule: 'site-known',
    limit: 0,
    product: '',
    driver: null,
    vehicle: null,
    first: null,
    second: null,
  };
  const site = policy.sites.get(request.site);
  if (site === undefined || !site.row.active)
    return refuse(sink, out, 'site-known', { table: 'sites', id: request.site });
  pass(sink, 'site-known', 'sites', request.site);

  const hose = policy.hoses.get(request.hose);
  if (hose === undefined || hose.row.site !== request.site || !hose.row.active) {
    return refuse(sink, out, 'hose-known', { table: 'hoses', id: request.hose });
  }
  pass(sink, 'hose-known', 'hoses', request.hose);
  out.product = hose.row.product;
  if (request.terminal) {
    if (!hose.terminals.has(request.terminal))
      return refuse(sink, out, 'hose-terminal', { table: 'hoses', id: request.hose });
    pass(sink, 'hose-terminal', 'hoses', request.hose);
  }

  const local = request.at + offsetMinutesAt(site.zone, request.at) * 60_000;
  const day = Math.floor(local / DAY_MS);
  if (!lookAtCards(policy, request, day, sink, out)) return out;
  const { driver, vehicle } = out;
  if (driver && !lookAtHolder(driver, request.site, day, sink, out)) return out;
  if (vehicle && !lookAtHolder(vehicle, request.site, day, sink, out)) return out;

  const missing = missingOf(site.row.identify, driver, vehicle);
  if (missing !== null)
    return refuse(sink, out, 'identified', { table: 'sites', id: request.site }, 'ask', { missing });
  pass(sink, 'identified', 'sites', request.site);
  if (site.closed.has(day)) return refuse(sink, out, 'site-open', { table: 'sites', id: request.site });
  pass(sink, 'site-open', 'sites', request.site);

  if (site.row.pin && driver) {
    if (request.pin !== 'right') {
      const says = request.pin === 'notAsked' ? 'ask' : 'refuse';
      return refuse(sink, out, 'pin', { table: 'drivers', id: driver.id }, says, { pin: request.pin });
    }
    pass(sink, 'pin', 'drivers', driver.id);
  }
  for (const question of questionsFor(site, driver, vehicle)) {
    const verdict = judgeAnswer(question, request.answers[question.id], vehicle, usage);
    if (verdict === null) continue;
    const on = { table: 'questions', id: question.id };
    if (verdict.says === 'ask') return refuse(sink, out, 'question', on, 'ask');
    if (verdict.says === 'refuse' || verdict.says === 'note') {
      const facts = { why: verdict.why, ...(verdict.last === undefined ? {} : { last: verdict.last }) };
      if (verdict.says === 'refuse') return refuse(sink, out, 'question', on, 'refuse', facts);
      sink?.push({ rule: 'question', says: 'pass', on, facts });
    } else pass(sink, 'question', 'questions', question.id);
  }

  const minuteOfWeek = weekdayOf(day) * 1440 + Math.floor((local - day * DAY_MS) / 60_000);
  if (driver && driver.terms.length > 0) {
    out.first = judgeParty(driver, request, hose.row.product, minuteOfWeek, usage, sink);
    if (!lookAtRoom(out.first, sink, out)) return out;
  }
  if (vehicle && vehicle.terms.length > 0) {
    out.second = judgeParty(vehicle, request, hose.row.product, minuteOfWeek, usage, sink);
    if (!lookAtRoom(out.second, sink, out)) return out;
  }
  if (out.first === null && out.second === null) {
    const someone = driver ?? vehicle;
    return refuse(sink, out, 'allowance', someone && { table: someone.table, id: someone.id });
  }
  return settle(out, hose.row.id, hose.row.mostPerFill, sink);
}

/** SPEC D5 to D8: leaves the driver and the vehicle in `out`. */
function lookAtCards(policy: Policy, request: DecisionRequest, day: number, sink: Sink, out: Outcome): boolean {
  if (request.credentials.length === 0) {
    refuse(sink, out, 'card-known', null, 'ask');
    return false;
  }
  const cards: PolicyCard[] = [];
  for (const number of request.credentials) {
    const card = policy.cards.get(number);
    if (!card) {
      refuse(sink, out, 'card-known', null, 'refuse', { number, why: card === null ? 'twice' : 'unknown' });
      return false;
    }
    pass(sink, 'card-known', 'credentials', card.id);
    if (card.stopped || policy.stopped.has(number)) {
      refuse(sink, out, 'card-stopped', { table: 'credentials', id: card.id });
      return false;
    }
    pass(sink, 'card-stopped', 'credentials', card.id);
    if (day < card.from || day > card.until) {
      refuse(sink, out, 'card-dates', { table: 'credentials', id: card.id }, 'refuse', {
        why: day < card.from ? 'early' : 'late',
      });
      return false;
    }
    pass(sink, 'card-dates', 'credentials', card.id);
    cards.push(card);
  }
  let driverId: string | null = null;
  let vehicleId: string | null = null;
  for (const card of cards) {
    const on = { table: 'credentials', id: card.id };
    const clash =
      (card.driverId && driverId && card.driverId !== driverId) ||
      (card.vehicleId && vehicleId && card.vehicleId !== vehicleId);
    if (clash || (card.driverId === null && card.vehicleId === null)) {
      refuse(sink, out, 'cards-agree', on, 'refuse', { why: clash ? 'clash' : 'nobody' });
      return false;
    }
    driverId ??= card.driverId;
    vehicleId ??= card.vehicleId;
    out.driver ??= card.driver ?? null;
    out.vehicle ??= card.vehicle ?? null;
  }
  if (driverId && !out.driver) return refuse(sink, out, 'holder-active', { table: 'drivers', id: driverId }).approved;
  if (vehicleId && !out.vehicle)
    return refuse(sink, out, 'holder-active', { table: 'vehicles', id: vehicleId }).approved;
  pass(sink, 'cards-agree', 'credentials', (cards[0] as PolicyCard).id);
  return true;
}

/** SPEC D9. */
function lookAtHolder(holder: Holder, site: string, day: number, sink: Sink, out: Outcome): boolean {
  const on = { table: holder.table, id: holder.id };
  if (!holder.active) return refuse(sink, out, 'holder-active', on).approved;
  pass(sink, 'holder-active', holder.table, holder.id);
  if (day < holder.from || day > holder.until) {
    return refuse(sink, out, 'holder-dates', on, 'refuse', { why: day < holder.from ? 'early' : 'late' }).approved;
  }
  pass(sink, 'holder-dates', holder.table, holder.id);
  if (holder.sites !== null && !holder.sites.has(site)) return refuse(sink, out, 'holder-site', on).approved;
  pass(sink, 'holder-site', holder.table, holder.id);
  return true;
}

/** SPEC D10: whose credential is still missing. */
function missingOf(
  identify: string,
  driver: Holder | null,
  vehicle: Holder | null,
): 'driver' | 'vehicle' | 'either' | null {
  if ((identify === 'driver' || identify === 'both') && driver === null) return 'driver';
  if ((identify === 'vehicle' || identify === 'both') && vehicle === null) return 'vehicle';
  return identify === 'either' && driver === null && vehicle === null ? 'either' : null;
}

function lookAtRoom(party: PartyRoom, sink: Sink, out: Outcome): boolean {
  if (party.fits && party.room >= LEAST_USEFUL) return true;
  refuse(sink, out, party.rule, onAllowance(party.terms), 'refuse', {
    holder: party.holder.key,
    ...(party.fits ? { left: party.room } : {}),
  });
  return false;
}

/** SPEC D21, D22: the least of every limit, the earliest among equals. */
function settle(out: Outcome, hose: string, mostPerFill: number, sink: Sink): Outcome {
  let limit = NO_LIMIT;
  for (const party of [out.first, out.second]) {
    if (party && party.room < limit) {
      limit = party.room;
      out.rule = party.rule;
    }
  }
  sink?.push({ rule: 'hose-most', says: 'limit', on: { table: 'hoses', id: hose }, limit: mostPerFill });
  if (mostPerFill < limit) {
    limit = mostPerFill;
    out.rule = 'hose-most';
  }
  const capacity = out.vehicle?.capacity ?? null;
  if (out.vehicle && capacity !== null) {
    sink?.push({ rule: 'vehicle-tank', says: 'limit', on: { table: 'vehicles', id: out.vehicle.id }, limit: capacity });
    if (capacity < limit) {
      limit = capacity;
      out.rule = 'vehicle-tank';
    }
  }
  out.limit = limit;
  out.approved = limit >= LEAST_USEFUL;
  if (!out.approved) {
    const on =
      out.rule === 'hose-most' ? { table: 'hoses', id: hose } : { table: 'vehicles', id: out.vehicle?.id ?? '' };
    sink?.push({ rule: out.rule, says: 'refuse', on, facts: { left: limit } });
  }
  return out;
}

/** Steps, made once when first read. */
class Told {
  private readonly policy: Policy;
  private readonly request: DecisionRequest;
  private readonly heard: Usage;
  protected readonly out: Outcome;
  private told: readonly Step[] | null = null;

  constructor(policy: Policy, request: DecisionRequest, heard: Usage, out: Outcome) {
    this.policy = policy;
    this.request = request;
    this.heard = heard;
    this.out = out;
  }

  get steps(): readonly Step[] {
    if (this.told === null) {
      const steps: Step[] = [];
      run(this.policy, this.request, this.heard instanceof RecordedUsage ? this.heard.again() : this.heard, steps);
      this.told = steps;
    }
    return this.told;
  }

  /** Only where somebody was identified; so that a plain copy has no empty members. */
  get driver(): string | undefined {
    return this.out.driver?.id;
  }

  get vehicle(): string | undefined {
    return this.out.vehicle?.id;
  }
}

class Approved extends Told {
  readonly approved = true as const;

  get limit(): number {
    return this.out.limit;
  }

  get product(): string {
    return this.out.product;
  }

  get by(): Step {
    const { rule, limit, first, second } = this.out;
    const party =
      rule === 'hose-most' || rule === 'vehicle-tank' ? null : first && first.room === limit ? first : second;
    const matches = (s: Step) =>
      s.rule === rule &&
      s.says === 'limit' &&
      s.limit === limit &&
      (party === null || (s.on?.id === party.terms.row.id && s.facts?.holder === party.holder.key));
    return this.steps.find(matches) as Step;
  }

  get charged(): Approval['charged'] {
    const charged: { holder: string; allowance: string }[] = [];
    for (const party of [this.out.first, this.out.second]) {
      if (party) charged.push({ holder: party.holder.key, allowance: party.terms.row.id });
    }
    return charged;
  }

  get notes(): readonly Step[] {
    return this.steps.filter((s) => s.rule === 'question' && s.facts !== undefined);
  }

  toJSON(): Decision {
    return plain(this as unknown as Decision);
  }
}

class Refused extends Told {
  readonly approved = false as const;

  get by(): Step {
    return this.steps.at(-1) as Step;
  }

  toJSON(): Decision {
    return plain(this as unknown as Decision);
  }
}

/** A copy with plain members, for sending to another thread, storing or spreading. */
export function plain(decision: Decision): Decision {
  const who = {
    ...(decision.driver === undefined ? {} : { driver: decision.driver }),
    ...(decision.vehicle === undefined ? {} : { vehicle: decision.vehicle }),
  };
  if (!decision.approved) return { approved: false, by: decision.by, steps: decision.steps, ...who } satisfies Refusal;
  const { limit, by, charged, product, steps, notes } = decision;
  return { approved: true, limit, by, charged, product, steps, notes, ...who } satisfies Approval;
}

/** The rule that decided, without making the steps. */
export const ruleOf = (decision: Decision): RuleCode =>
  decision instanceof Told ? decidedBy(decision) : decision.by.rule;
const decidedBy = (told: Told): RuleCode => (told as unknown as { out: Outcome }).out.rule;
