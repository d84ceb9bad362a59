import {
  askOf,
  compile,
  type Decision,
  decide,
  LookedAt,
  onRecord,
  type PinState,
  type Policy,
  rightAnswer,
  Tally,
} from '@fillwright/core/decide';
import type { FlagFill } from '@fillwright/core/flags';
import { type Fleet, priceInForce, unitOf } from '@fillwright/core/fleet';
import type { EntryOf } from '@fillwright/core/island';
import { amountOf, localMoment, pulsesWithin, volumeOfPulses, type ZoneTable } from '@fillwright/core/units';
import { fleetMonths } from '../fleet-months.ts';
import { randomFrom } from '../random.ts';

/** A fill as the journal has it, before its place there is known. */
export interface PastFill {
  readonly id: string;
  readonly site: string;
  readonly hose: string;
  readonly tanks: readonly string[];
  readonly authorised: EntryOf<'authorised'>;
  /** Without the fill's id. */
  readonly ended: Omit<EntryOf<'ended'>, 'fill'>;
}

export interface VisitOptions {
  readonly seed: string | number;
  readonly fleet: Fleet;
  readonly revision: number;
  readonly from: number;
  readonly to: number;
  readonly zones: (zone: string) => ZoneTable;
}

/** Somebody who came and got nothing, as the journal has it. */
export interface PastRefusal {
  readonly site: string;
  readonly refused: EntryOf<'refused'>;
}

export interface Visits {
  readonly fills: readonly PastFill[];
  readonly refusals: readonly PastRefusal[];
}

/** What somebody comes for; a plant may ask for more than is allowed, or key the PIN wrong. */
export type Wish = Pick<
  FlagFill,
  'id' | 'hose' | 'site' | 'driver' | 'vehicle' | 'from' | 'volume' | 'odometer' | 'hours'
> & { readonly pin?: 'wrong' };

const DAY = 86_400_000;
const MIN = 60_000;

/** Months of wishes, decided one after another by the rules of the fleet. Who was declined for a reason learns of it, and does not come for the same again. */
export function decided(o: VisitOptions, plant: (wishes: readonly Wish[], o: VisitOptions) => readonly Wish[]): Visits {
  const policy = compile(o.fleet, o.zones);
  const tally = new Tally((site) => policy.sites.get(site)?.zone);
  const midnight = o.from - (o.from % DAY);
  const days = Math.ceil((o.to - midnight) / DAY);
  const wishes = fleetMonths({ seed: o.seed, fleet: o.fleet, from: midnight, days }).fills.map((f) => atWall(f, o));
  const usual = usualDrivers(wishes, o);
  const all = plant(
    wishes.map((w) => ({ ...w, driver: usual.get(String(w.vehicle)) ?? w.driver })),
    o,
  ).toSorted((a, b) => a.from - b.from || (a.id < b.id ? -1 : 1));
  /** When a pump's tanks, and a driver, are free again. */
  const free = new Map<string, number>();
  const fills: PastFill[] = [];
  const refusals: PastRefusal[] = [];
  const told = new Set<string>();
  for (const wish of all) {
    const pump = o.fleet.hoses.get(wish.hose)?.pump ?? '';
    const at = Math.max(wish.from, (free.get(pump) ?? 0) + 2 * MIN);
    if (at < o.from || at > o.to - 30 * MIN) continue;
    const visit = visitOf(wish, at, policy, tally, o);
    if (!visit) continue;
    if ('refused' in visit) {
      const lesson = `${wish.driver}/${wish.site}/${visit.refused.reason}`;
      if (!told.has(lesson)) refusals.push(visit);
      told.add(lesson);
      continue;
    }
    free.set(pump, visit.ended.at);
    charge(visit, wish, tally, policy);
    fills.push(visit);
  }
  return { fills, refusals };
}

/** Months of fills are by one clock for all; people come by the clock on the site's wall. */
function atWall(f: FlagFill, { fleet, zones }: VisitOptions): FlagFill {
  const { day, minute } = localMoment(zones(fleet.sites.get(f.site)?.zone ?? 'UTC'), f.from);
  const ahead = (day * 1440 + minute) * MIN - (f.from - (f.from % MIN));
  return { ...f, from: f.from - ahead, to: f.to - ahead };
}

/** Who drives a vehicle as a rule. */
function usualDrivers(wishes: readonly FlagFill[], { seed, fleet }: VisitOptions): Map<string, string> {
  const usual = new Map<string, string>();
  const taken = new Set<string>();
  for (const id of new Set(wishes.map((w) => String(w.vehicle)))) {
    const department = fleet.vehicles.get(id)?.department;
    const drivers = [...fleet.drivers.values()].filter((d) => d.active && d.department === department);
    const free = drivers.filter((d) => !taken.has(d.id));
    const from = free.length > 0 ? free : drivers;
    if (from.length === 0) continue;
    const driver = randomFrom(`drives/${seed}/${id}`).pick(from);
    taken.add(driver.id);
    usual.set(id, driver.id);
  }
  return usual;
}

function visitOf(
  wish: Wish,
  at: number,
  policy: Policy,
  tally: Tally,
  o: VisitOptions,
): PastFill | PastRefusal | undefined {
  const hose = o.fleet.hoses.get(wish.hose);
  const site = o.fleet.sites.get(wish.site);
  if (!hose || !site) return undefined;
  const cards = [
    ...(site.identify === 'vehicle' ? [] : [cardOf(o.fleet, 'driver', wish.driver)]),
    ...(site.identify === 'driver' ? [] : [cardOf(o.fleet, 'vehicle', wish.vehicle)]),
  ];
  if (cards.some((c) => c === undefined)) return undefined;
  const answers: Record<string, string> = {};
  const pin: PinState = wish.pin ?? 'right';
  const looked = new LookedAt(tally);
  const request = () => ({
    ...{ site: wish.site, hose: wish.hose, terminal: hose.terminals[0] ?? '', at, pin, answers },
    credentials: cards.flatMap((c) => (c ? [c.number] : [])),
  });
  let decision: Decision = decide(policy, request(), looked);
  for (let ask = askOf(decision); ask?.ask === 'question'; ask = askOf(decision)) {
    const question = o.fleet.questions.get(ask.question);
    const read = question?.kind === 'odometer' ? wish.odometer : question?.kind === 'hours' ? wish.hours : undefined;
    const answer = read === undefined ? question && rightAnswer(question) : String(read);
    if (answer === undefined || answers[ask.question] !== undefined) return undefined;
    answers[ask.question] = answer;
    decision = decide(policy, request(), looked);
  }
  const who = {
    credentials: cards.flatMap((c) => (c ? [c.id] : [])),
    ...(decision.driver === undefined ? {} : { driver: decision.driver }),
    ...(decision.vehicle === undefined ? {} : { vehicle: decision.vehicle }),
  };
  if (!decision.approved)
    return {
      site: wish.site,
      refused: {
        ...{ kind: 'refused', at: at + 9_000, terminal: hose.terminals[0] ?? '', hose: hose.id, ...who },
        ...{ reason: decision.by.rule, steps: onRecord(decision.steps), asked: looked.asked({ pin, answers }) },
        revision: o.revision,
      },
    };
  const unit = unitOf(o.fleet.settings);
  const limitPulses = pulsesWithin(decision.limit, hose.pulses, unit);
  const pulses = Math.min(limitPulses, pulsesWithin(wish.volume, hose.pulses, unit));
  if (pulses < 1) return undefined;
  const ul = volumeOfPulses(pulses, hose.pulses, unit);
  const price = priceInForce(o.fleet, wish.site, decision.product, localMoment(o.zones(site.zone), at).day);
  const armedAt = at + 4_000;
  const flowMs = Math.ceil((ul / hose.flow) * MIN);
  const endedAt = armedAt + 12_000 + flowMs + 6_000;
  return {
    id: wish.id,
    site: wish.site,
    hose: wish.hose,
    tanks: o.fleet.pumps.get(hose.pump)?.tanks ?? [],
    authorised: {
      ...{ kind: 'authorised', at, terminal: hose.terminals[0] ?? '', hose: hose.id },
      ...who,
      product: decision.product,
      tanks: [...(o.fleet.pumps.get(hose.pump)?.tanks ?? [])],
      limitUl: decision.limit,
      by: decision.by.rule,
      steps: onRecord(decision.steps),
      notes: onRecord(decision.notes),
      charged: decision.charged.map(({ holder, allowance }) => ({ holder, allowance })),
      ...{ answers, price, unit, pulsesPerMeasure: hose.pulses, limitPulses, stopAtPulses: limitPulses },
      ...{ cutOff: false, revision: o.revision },
    },
    ended: {
      ...{ kind: 'ended', at: endedAt, hose: hose.id, reason: pulses === limitPulses ? 'limit' : 'hung', pulses, ul },
      amount: price === null ? null : amountOf(ul, price, unit),
      ...{ overPulses: 0, overUl: 0, armedAt, firstPulseAt: armedAt + 12_000, timers: [] },
      curve: [
        [12_000, 0],
        [12_000 + flowMs, pulses],
      ],
      ...{ lagPulses: null, count: null },
    },
  };
}

function cardOf(fleet: Fleet, holder: 'driver' | 'vehicle', id: string | null) {
  return [...fleet.credentials.values()].find(
    (c) => c[holder] === id && id !== null && !c.stopped && c.kind !== 'keyed',
  );
}

function charge(fill: PastFill, wish: Wish, tally: Tally, policy: Policy): void {
  const zone = policy.sites.get(fill.site)?.zone;
  if (!zone) return;
  const { day } = localMoment(zone, fill.authorised.at);
  for (const { holder, allowance } of fill.authorised.charged)
    tally.add({ holder, allowance, site: fill.site, day, volume: fill.ended.ul, fills: 1 });
  const { vehicle } = fill.authorised;
  if (vehicle === undefined) return;
  if (wish.odometer !== undefined) tally.setReading(vehicle, 'odometer', wish.odometer);
  if (wish.hours !== undefined) tally.setReading(vehicle, 'hours', wish.hours);
}
