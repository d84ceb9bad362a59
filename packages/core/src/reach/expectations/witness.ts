import {
  type Decision,
  type DecisionRequest,
  decide,
  NO_USAGE,
  type Policy,
  type PolicyHose,
  rightAnswer,
  ruleOf,
} from '../../decide/index.ts';
import { instantAt, weekdayOf, type ZoneTable } from '../../units/index.ts';
import { cardsFor } from '../cards.ts';
import type { Table } from '../table.ts';
import { sameDepartment } from './sentence.ts';
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
export function shown(policy: Policy, who: Who, hose: PolicyHose, { day, minute }: Moment): Counterexample {
  const { driver, vehicle } = who;
  const good = cardsFor(policy, driver, vehicle, day);
  const request: DecisionRequest = {
    site: hose.row.site,
    hose: hose.row.id,
    at: (hose.site && instantAt(hose.site.zone, day, minute)) ?? 0,
    credentials: good.length > 0 ? good : anyCards(policy, driver, vehicle),
    pin: 'right',
    answers: answersTo(policy, who, hose),
  };
  const decision = decide(policy, request, NO_USAGE);
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
    const allowance = by.on?.table === 'allowances' ? by.on.id : decision.charged[0]?.allowance;
    return allowance === undefined ? null : { table: 'allowances', id: allowance };
  }
  const holder =
    driver === null ? (vehicle === null ? null : { table: 'vehicles', id: vehicle }) : { table: 'drivers', id: driver };
  // Where nothing could be presented, the one who has no credential is to be mended.
  if (by.rule === 'card-known') return holder;
  return by.on ?? holder;
}

/** Credentials that are not good on the day but name them: what they would present. */
function anyCards(policy: Policy, driver: string | null, vehicle: string | null): string[] {
  const { fleet } = policy;
  const numbers: string[] = [];
  for (const card of fleet.credentials.values()) {
    if ((driver !== null && card.driver === driver) || (vehicle !== null && card.vehicle === vehicle)) {
      numbers.push(card.number);
      break;
    }
  }
  return numbers;
}

function answersTo(policy: Policy, { driver, vehicle }: Who, hose: PolicyHose): Record<string, string> {
  const asked = [
    ...(hose.site?.questions ?? []),
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
  table: Table,
  one: { readonly kind: 'drivers' | 'vehicles'; readonly id: string },
  hoses: readonly PolicyHose[],
  moment: Moment,
): Counterexample {
  const { policy } = table;
  const { kind, id } = one;
  const party = (kind === 'drivers' ? table.driverOf : table.vehicleOf).get(id);
  // Those where somebody's own allowances let most through come first: there the least is missing.
  const top = (hose: PolicyHose): number =>
    hose.row.active && hose.site?.row.active ? (party?.list.at(hose.site.index, hose.product)?.top ?? 0) : -2;
  const tried = hoses.map((hose) => ({ hose, top: top(hose) })).sort((a, b) => b.top - a.top);
  const whoWith = (other: string | null) =>
    kind === 'drivers' ? { driver: id, vehicle: other } : { driver: other, vehicle: id };
  const partners = partnersOf(table, one).filter((other) => presentable(policy, whoWith(other), moment.day));
  let best: { example: Counterexample; far: number } | null = null;
  for (const { hose } of tried.slice(0, HOSES_TRIED)) {
    for (const other of [null, ...partners]) {
      const example = shown(policy, whoWith(other), hose, moment);
      const steps = decide(policy, example.request, NO_USAGE).steps.length;
      const far = example.limit > 0 ? 1_000_000 + example.limit : steps;
      if (!best || far > best.far) best = { example, far };
    }
  }
  return (best as { example: Counterexample }).example;
}

/** Some that one might come with: those whom a card names with them, then those of the same department. */
function partnersOf(table: Table, { kind, id }: { kind: 'drivers' | 'vehicles'; id: string }): string[] {
  const { fleet } = table.policy;
  const others = kind === 'drivers' ? 'vehicles' : 'drivers';
  const of = kind === 'drivers' ? table.vehicleOf : table.driverOf;
  const found = new Set<string>();
  for (const c of table.couples) {
    if (kind === 'drivers' ? c.driverId === id : c.vehicleId === id)
      found.add(kind === 'drivers' ? c.vehicleId : c.driverId);
    if (found.size >= PARTNERS_TRIED) break;
  }
  const department = sameDepartment(fleet[kind].get(id)?.department ?? '');
  for (const same of [true, false]) {
    let some = 0;
    for (const row of fleet[others].values()) {
      if (found.size >= PARTNERS_TRIED || some >= PARTNERS_TRIED / 2) break;
      if (!of.has(row.id) || (sameDepartment(row.department) === department) !== same) continue;
      found.add(row.id);
      some++;
    }
  }
  return [...found];
}
