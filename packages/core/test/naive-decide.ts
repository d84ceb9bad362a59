import type { DecisionRequest, RuleCode, Usage } from '@fillwright/core/decide';
import type { Allowance, Credential, Driver, Fleet, Vehicle } from '@fillwright/core/fleet';
import { Temporal } from 'temporal-polyfill';

/** A second, slow reading of SPEC.md: plain loops over the rows, and Temporal for every question of time. Shares no code with decide. */

export interface Naive {
  readonly approved: boolean;
  readonly rule: RuleCode;
  readonly limit: number;
  /** The step that decides. */
  readonly by: string;
  /** Every rule that was looked at, in order, as `lineOf` words it. */
  readonly steps: readonly string[];
  readonly product?: string;
  readonly driver?: string | undefined;
  readonly vehicle?: string | undefined;
  /** HOLDER ALLOWANCE of each party. */
  readonly charged?: readonly string[];
  /** Questions whose answer is implausible and goes on all the same. */
  readonly noted?: readonly string[];
}

type Facts = Readonly<Record<string, string | number>>;

/** One step as a line: what is said, the rule, the row that it is about, its figures in order of name. */
export const lineOf = (says: string, rule: string, table: string, id: string, facts: Facts = {}): string =>
  [
    `${says} ${rule}`,
    table && `${table}/${id}`,
    ...Object.entries(facts)
      .map(([k, v]) => `${k}=${v}`)
      .sort(),
  ].join(' ');

export function naiveDecide(fleet: Fleet, r: DecisionRequest, usage: Usage, stopped: readonly string[] = []): Naive {
  const steps: string[] = [];
  const pass = (rule: RuleCode, table: string, id: string, facts: Facts = {}) => {
    steps.push(lineOf('pass', rule, table, id, facts));
  };
  const no = (rule: RuleCode, table: string, id: string, facts: Facts = {}, says = 'refuse'): Naive => {
    const by = lineOf(says, rule, table, id, facts);
    steps.push(by);
    return { approved: false, rule, limit: 0, by, steps };
  };
  const site = [...fleet.sites.values()].find((s) => s.id === r.site);
  if (!site?.active) return no('site-known', 'sites', r.site);
  pass('site-known', 'sites', r.site);
  const hose = [...fleet.hoses.values()].find((h) => h.id === r.hose && h.site === r.site);
  if (!hose?.active) return no('hose-known', 'hoses', r.hose);
  pass('hose-known', 'hoses', r.hose);
  if (r.terminal && !hose.terminals.includes(r.terminal)) return no('hose-terminal', 'hoses', r.hose);
  if (r.terminal) pass('hose-terminal', 'hoses', r.hose);
  const here = Temporal.Instant.fromEpochMilliseconds(r.at).toZonedDateTimeISO(site.zone);
  const today = here.toPlainDate();
  /** Null where the day lies between both. */
  const outside = (from: string | null, until: string | null): 'early' | 'late' | null => {
    if (from !== null && Temporal.PlainDate.compare(today, Temporal.PlainDate.from(from)) < 0) return 'early';
    return until !== null && Temporal.PlainDate.compare(today, Temporal.PlainDate.from(until)) > 0 ? 'late' : null;
  };

  if (r.credentials.length === 0) return no('card-known', '', '', {}, 'ask');
  const cards: Credential[] = [];
  for (const number of r.credentials) {
    const found = [...fleet.credentials.values()].filter((c) => c.number === number);
    const card = found[0];
    if (found.length !== 1 || !card) {
      return no('card-known', '', '', { number, why: card ? 'twice' : 'unknown' });
    }
    pass('card-known', 'credentials', card.id);
    if (card.stopped || stopped.includes(number)) return no('card-stopped', 'credentials', card.id);
    pass('card-stopped', 'credentials', card.id);
    const why = outside(card.validFrom, card.validUntil);
    if (why) return no('card-dates', 'credentials', card.id, { why });
    pass('card-dates', 'credentials', card.id);
    cards.push(card);
  }
  // The first card at which they no longer agree.
  const clash = cards.find((c, i) => {
    const before = cards.slice(0, i);
    const other = (of: 'driver' | 'vehicle') => before.some((b) => b[of] !== null && c[of] !== null && b[of] !== c[of]);
    return (c.driver === null && c.vehicle === null) || other('driver') || other('vehicle');
  });
  if (clash) {
    const nobody = clash.driver === null && clash.vehicle === null;
    return no('cards-agree', 'credentials', clash.id, { why: nobody ? 'nobody' : 'clash' });
  }
  const driverIds = new Set(cards.flatMap((c) => (c.driver === null ? [] : [c.driver])));
  const vehicleIds = new Set(cards.flatMap((c) => (c.vehicle === null ? [] : [c.vehicle])));
  const [driverId] = driverIds;
  const [vehicleId] = vehicleIds;
  const driver = driverId === undefined ? undefined : fleet.drivers.get(driverId);
  const vehicle = vehicleId === undefined ? undefined : fleet.vehicles.get(vehicleId);
  if (driverId !== undefined && !driver) return no('holder-active', 'drivers', driverId);
  if (vehicleId !== undefined && !vehicle) return no('holder-active', 'vehicles', vehicleId);
  pass('cards-agree', 'credentials', cards[0]?.id ?? '');
  for (const [holder, table] of [
    [driver, 'drivers'],
    [vehicle, 'vehicles'],
  ] as const) {
    if (!holder) continue;
    if (!holder.active) return no('holder-active', table, holder.id);
    pass('holder-active', table, holder.id);
    const why = outside(holder.validFrom, holder.validUntil);
    if (why) return no('holder-dates', table, holder.id, { why });
    pass('holder-dates', table, holder.id);
    if (holder.sites !== null && !holder.sites.includes(r.site)) return no('holder-site', table, holder.id);
    pass('holder-site', table, holder.id);
  }
  const need = site.identify;
  const ask = (missing: string) => no('identified', 'sites', r.site, { missing }, 'ask');
  if ((need === 'driver' || need === 'both') && !driver) return ask('driver');
  if ((need === 'vehicle' || need === 'both') && !vehicle) return ask('vehicle');
  pass('identified', 'sites', r.site);
  if (site.closed.includes(today.toString())) return no('site-open', 'sites', r.site);
  pass('site-open', 'sites', r.site);
  if (site.pin && driver) {
    if (r.pin !== 'right')
      return no('pin', 'drivers', driver.id, { pin: r.pin }, r.pin === 'notAsked' ? 'ask' : 'refuse');
    pass('pin', 'drivers', driver.id);
  }

  const noted: string[] = [];
  const asked = new Set([...site.questions, ...(driver?.questions ?? []), ...(vehicle?.questions ?? [])]);
  for (const id of asked) {
    const q = fleet.questions.get(id);
    if (!q) continue;
    const isCounter = q.kind === 'odometer' || q.kind === 'hours';
    if (isCounter && vehicle && vehicle.counter !== q.kind) continue;
    const given = r.answers[id];
    if (given === undefined) return no('question', 'questions', id, {}, 'ask');
    const answer = given.trim();
    const bad = (why: string, more: Facts = {}) => no('question', 'questions', id, { why, ...more });
    if (isCounter) {
      if (!/^[0-9]+$/.test(answer) || answer.length > q.digits) return bad('form');
      const last = vehicle ? usage.lastReading(vehicle.id, q.kind as 'odometer' | 'hours') : undefined;
      if (vehicle && last !== undefined && (q.leastAdvance !== null || q.mostAdvance !== null)) {
        const advance = Number(answer) - last;
        const little = advance < 0 || (q.leastAdvance !== null && advance < q.leastAdvance);
        const much = q.mostAdvance !== null && advance > q.mostAdvance;
        if (little || much) {
          const why = little ? 'tooLittle' : 'tooMuch';
          if (q.whenImplausible === 'decline') return bad(why, { last });
          noted.push(id);
          pass('question', 'questions', id, { why, last });
          continue;
        }
      }
    } else {
      const listed = q.accepted.map((a) => a.trim().toUpperCase()).includes(answer.toUpperCase());
      if (q.kind === 'text' && !listed) return bad('notAccepted');
      if (q.kind === 'job') {
        if (answer === '' || answer.length > q.digits || !/^[A-Z0-9]+$/i.test(answer)) return bad('form');
        if (q.accepted.length > 0 && !listed) return bad('notAccepted');
      }
    }
    pass('question', 'questions', id);
  }

  const minute = here.hour * 60 + here.minute;
  const open = (a: Allowance) =>
    a.times === null ||
    a.times.some((w) => {
      const length = w.to > w.from ? w.to - w.from : w.to - w.from + 1440;
      const yesterday = (here.dayOfWeek + 5) % 7;
      const weekday = here.dayOfWeek - 1;
      const sinceToday = minute - w.from;
      const sinceYesterday = minute + 1440 - w.from;
      return (
        (w.days.includes(weekday) && sinceToday >= 0 && sinceToday < length) ||
        (w.days.includes(yesterday) && sinceYesterday < length)
      );
    });
  type Judged = { readonly room: number; readonly rule: RuleCode; readonly allowance: string; readonly by: string };
  const ORDER: RuleCode[] = ['allowance-product', 'allowance-site', 'allowance-time', 'allowance-cut-off'];
  const judge = (holder: Driver | Vehicle, key: string): Judged => {
    let failed = { at: -1, allowance: '' };
    let best: Judged | undefined;
    for (const id of new Set(holder.allowances)) {
      const a = fleet.allowances.get(id);
      if (!a) continue;
      const counts = [a.perDay, a.perWeek, a.perMonth, a.fillsPerDay].some((n) => n !== null);
      const fail = !a.products.includes(hose.product)
        ? 0
        : a.sites !== null && !a.sites.includes(r.site)
          ? 1
          : !open(a)
            ? 2
            : usage.cutOff && counts && a.cutOff === 'decline'
              ? 3
              : -1;
      if (fail >= 0) {
        if (fail > failed.at) failed = { at: fail, allowance: id };
        steps.push(lineOf('notLookedAt', ORDER[fail] ?? '', 'allowances', id, { holder: key }));
        continue;
      }
      const u = usage.used(key, id, r.site, r.at) ?? { day: 0, week: 0, month: 0, fillsToday: 0 };
      const part = (left: number) => (usage.cutOff && a.cutOff === 'share' ? Math.floor((left * a.share) / 100) : left);
      const rooms: [number, RuleCode, Facts][] = [];
      const share: Facts = usage.cutOff && a.cutOff === 'share' ? { share: a.share } : {};
      if (a.fillsPerDay !== null && u.fillsToday >= a.fillsPerDay)
        rooms.push([0, 'fills-per-day', { used: u.fillsToday }]);
      if (a.perFill !== null) rooms.push([a.perFill, 'per-fill', {}]);
      if (a.perDay !== null) rooms.push([part(a.perDay - u.day), 'per-day', { used: u.day, ...share }]);
      if (a.perWeek !== null) rooms.push([part(a.perWeek - u.week), 'per-week', { used: u.week, ...share }]);
      if (a.perMonth !== null) rooms.push([part(a.perMonth - u.month), 'per-month', { used: u.month, ...share }]);
      const least = Math.min(...rooms.map(([n]) => n));
      const found = rooms.find(([n]) => n === least);
      const facts = { holder: key, ...found?.[2] };
      if (found) steps.push(lineOf('limit', found[1], 'allowances', id, { ...facts, limit: found[0] }));
      else pass('per-fill', 'allowances', id, facts);
      const by = steps.at(-1) ?? '';
      const [left, rule] = found ?? [Number.POSITIVE_INFINITY, 'per-fill' as const];
      const room = { room: left, rule, allowance: id, by };
      if (!best || room.room > best.room) best = room;
    }
    return (
      best ?? {
        room: Number.NEGATIVE_INFINITY,
        rule: ORDER[failed.at] as RuleCode,
        allowance: failed.allowance,
        by: '',
      }
    );
  };
  const limits: [number, RuleCode, string, string][] = [];
  const charged: string[] = [];
  for (const [holder, kind] of [
    [driver, 'driver'],
    [vehicle, 'vehicle'],
  ] as const) {
    if (!holder?.allowances.some((id) => fleet.allowances.has(id))) continue;
    const party = judge(holder, `${kind}:${holder.id}`);
    const left = party.room === Number.NEGATIVE_INFINITY ? {} : { left: party.room };
    if (party.room < 100_000)
      return no(party.rule, 'allowances', party.allowance, { holder: `${kind}:${holder.id}`, ...left });
    limits.push([party.room, party.rule, party.allowance, party.by]);
    charged.push(`${kind}:${holder.id} ${party.allowance}`);
  }
  if (limits.length === 0)
    return driver ? no('allowance', 'drivers', driver.id) : no('allowance', 'vehicles', vehicle?.id ?? '');
  const most = (limit: number, rule: RuleCode, table: string, id: string) => {
    steps.push(lineOf('limit', rule, table, id, { limit }));
    limits.push([limit, rule, id, steps.at(-1) ?? '']);
  };
  most(hose.mostPerFill, 'hose-most', 'hoses', hose.id);
  if (vehicle && vehicle.capacity !== null) most(vehicle.capacity, 'vehicle-tank', 'vehicles', vehicle.id);
  const least = Math.min(...limits.map(([n]) => n));
  const [, rule, id, by] = limits.find(([n]) => n === least) as [number, RuleCode, string, string];
  if (least < 100_000) return no(rule, rule === 'hose-most' ? 'hoses' : 'vehicles', id, { left: least });
  const who = { driver: driver?.id, vehicle: vehicle?.id };
  return { approved: true, rule, limit: least, by, steps, product: hose.product, ...who, charged, noted };
}
