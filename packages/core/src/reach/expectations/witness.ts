import {
  type Approval,
  type Decision,
  type DecisionRequest,
  decide,
  NO_USAGE,
  type Policy,
  type PolicyHose,
  type PolicySite,
  rightAnswer,
  ruleOf,
} from '../../decide/index.ts';
import { instantAt, weekdayOf, type ZoneTable } from '../../units/index.ts';
import { cardsFor } from '../cards.ts';
import type { PartyClass, Table } from '../table.ts';
import type { Cells } from './cells.ts';
import type { Checking } from './checking.ts';
import type { Lookup } from './sentence.ts';
import type { Counterexample } from './verdict.ts';

/** A minute that a clock shows. */
export interface Moment {
  readonly day: number;
  readonly minute: number;
  readonly minuteOfWeek: number;
}

/** The first minute of a stretch of one day that the clock of a zone shows; undefined where it skips all of it. */
export function firstMinute(
  zone: ZoneTable,
  { day, from, to }: { readonly day: number; readonly from: number; readonly to: number },
): Moment | undefined {
  for (let minute = from; minute < to; minute++)
    if (instantAt(zone, day, minute) !== undefined)
      return { day, minute, minuteOfWeek: weekdayOf(day) * 1440 + minute };
  return undefined;
}

interface Who {
  readonly driver: string | null;
  readonly vehicle: string | null;
}

/** What `decide` says of somebody at a hose at a moment, PIN and answers right. */
export function shown(policy: Policy, who: Who, hose: PolicyHose, moment: Moment): Counterexample {
  const request = requestOf(policy, who, cardsOf(policy, who, moment), hose, moment);
  return told(who, hose, moment, request, decide(policy, request, NO_USAGE));
}

/** Credentials that they would present on the day: good ones, where they have any. */
function cardsOf(policy: Policy, { driver, vehicle }: Who, { day }: Moment): readonly string[] {
  const good = cardsFor(policy, driver, vehicle, day);
  return good.length > 0 ? good : anyCards(policy, driver, vehicle);
}

function requestOf(
  policy: Policy,
  who: Who,
  credentials: readonly string[],
  hose: PolicyHose,
  { day, minute }: Moment,
): DecisionRequest {
  return {
    site: hose.row.site,
    hose: hose.row.id,
    at: (hose.site && instantAt(hose.site.zone, day, minute)) ?? 0,
    credentials,
    pin: 'right',
    answers: answersTo(policy, who, hose),
  };
}

function told(
  who: Who,
  hose: PolicyHose,
  { day, minute }: Moment,
  request: DecisionRequest,
  decision: Decision,
): Counterexample {
  const { driver, vehicle } = who;
  return {
    // A credential that names somebody else too presents both.
    driver: decision.driver ?? driver,
    vehicle: decision.vehicle ?? vehicle,
    ...{ site: hose.row.site, hose: hose.row.id, day, minute, request },
    limit: decision.approved ? decision.limit : 0,
    rule: ruleOf(decision),
    mend: mendOf(decision, who),
  };
}

/** The record that the deciding rule belongs to: the allowance that let it through, or what refused. */
function mendOf(decision: Decision, { driver, vehicle }: Who): Counterexample['mend'] {
  const { by } = decision;
  if (decision.approved) {
    if (by.on?.table === 'allowances') return by.on;
    const [charged] = decision.charged as readonly [Approval['charged'][number]];
    return { table: 'allowances', id: charged.allowance };
  }
  const holder = driver === null ? { table: 'vehicles', id: vehicle as string } : { table: 'drivers', id: driver };
  // Where nothing good could be presented, the one who has no credential is to be mended.
  return by.on ?? holder;
}

/** Credentials that are not good on the day but name them: what they would present. */
function anyCards(policy: Policy, driver: string | null, vehicle: string | null): string[] {
  const { fleet } = policy;
  for (const card of fleet.credentials.values())
    if ((driver !== null && card.driver === driver) || (vehicle !== null && card.vehicle === vehicle))
      return [card.number];
  return [];
}

function answersTo(policy: Policy, { driver, vehicle }: Who, hose: PolicyHose): Record<string, string> {
  const asked = [
    ...(hose.site as PolicySite).questions,
    ...(policy.drivers.get(driver ?? '')?.questions ?? []),
    ...(policy.vehicles.get(vehicle ?? '')?.questions ?? []),
  ];
  return Object.fromEntries(
    asked.flatMap((q) => {
      const answer = rightAnswer(q);
      return answer === undefined ? [] : [[q.id, answer]];
    }),
  );
}

/** Whether credentials that are good on a day present both. */
function presentable(policy: Policy, { driver, vehicle }: Who, day: number): boolean {
  const cards = cardsFor(policy, driver, vehicle, day).map((number) => policy.cards.get(number));
  return cards.some((c) => c?.driverId === driver) && cards.some((c) => c?.vehicleId === vehicle);
}

const HOSES_TRIED = 48;
const PARTNERS_TRIED = 6;

/** Of the requests that somebody might make at a moment at which none serves them, the one that comes furthest. */
export function nearest(
  checking: Checking,
  one: { readonly kind: 'drivers' | 'vehicles'; readonly id: string },
  hoses: readonly PolicyHose[],
  moment: Moment,
): Counterexample {
  const { table, look, cells } = checking;
  const { policy } = table;
  const { kind, id } = one;
  const party = (kind === 'drivers' ? table.driverOf : table.vehicleOf).get(id);
  const whoWith = (other: string | null) =>
    kind === 'drivers' ? { driver: id, vehicle: other } : { driver: other, vehicle: id };
  const partners = partnersOf(table, look, one).filter((other) => presentable(policy, whoWith(other), moment.day));
  const tries = [null, ...partners].map((other) => {
    const who = whoWith(other);
    return { who, cards: cardsOf(policy, who, moment) };
  });
  let best: { who: Who; hose: PolicyHose; request: DecisionRequest; decision: Decision; far: number } | null = null;
  for (const hose of mostFirst(cells, hoses, party).slice(0, HOSES_TRIED)) {
    for (const { who, cards } of tries) {
      const request = requestOf(policy, who, cards, hose, moment);
      const decision = decide(policy, request, NO_USAGE);
      // A limit is never as little as there are steps.
      const far = decision.approved ? decision.limit : decision.steps.length;
      if (!best || far > best.far) best = { who, hose, request, decision, far };
    }
  }
  const { who, hose, request, decision } = best as NonNullable<typeof best>;
  return told(who, hose, moment, request, decision);
}

/** Below whatever a list of allowances may say. */
const OUT_OF_SERVICE = -2;

/** Hoses where somebody's own allowances let most through come first, else in their order: there the least is missing. */
function mostFirst(cells: Cells, hoses: readonly PolicyHose[], party: PartyClass | undefined): PolicyHose[] {
  const byTop = new Map<number, PolicyHose[]>();
  for (const hose of hoses) {
    const { site, product, row } = hose;
    const cell = row.active ? cells.at((site as PolicySite).index, product) : undefined;
    const top = cell ? (party?.list.at(cell.site, cell.product)?.top ?? 0) : OUT_OF_SERVICE;
    const list = byTop.get(top);
    if (list) list.push(hose);
    else byTop.set(top, [hose]);
  }
  return [...byTop].sort(([a], [b]) => b - a).flatMap(([, list]) => list);
}

/** Some that one might come with: those whom a card names with them, then those of the same department. */
function partnersOf(table: Table, look: Lookup, { kind, id }: { kind: 'drivers' | 'vehicles'; id: string }): string[] {
  const { fleet } = table.policy;
  const others = kind === 'drivers' ? 'vehicles' : 'drivers';
  const of = kind === 'drivers' ? table.vehicleOf : table.driverOf;
  const found = new Set<string>();
  for (const c of table.couples) {
    if (kind === 'drivers' ? c.driverId === id : c.vehicleId === id)
      found.add(kind === 'drivers' ? c.vehicleId : c.driverId);
    if (found.size >= PARTNERS_TRIED) break;
  }
  const department = look.department(fleet[kind].get(id)?.department ?? '');
  for (const same of [true, false]) {
    let some = 0;
    for (const row of fleet[others].values()) {
      if (found.size >= PARTNERS_TRIED || some >= PARTNERS_TRIED / 2) break;
      if (!of.has(row.id) || (look.department(row.department) === department) !== same) continue;
      found.add(row.id);
      some++;
    }
  }
  return [...found];
}
