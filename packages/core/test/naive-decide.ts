import type { DecisionRequest, RuleCode, Usage } from '@fillwright/core/decide';
import type { Allowance, Credential, Driver, Fleet, Vehicle } from '@fillwright/core/fleet';
import { Temporal } from 'temporal-polyfill';

/** A second, slow reading of SPEC.md: plain loops over the rows, and Temporal for every question of time. Shares no code with decide. */

export interface Naive {
  readonly approved: boolean;
  readonly rule: RuleCode;
  readonly limit: number;
  /** TABLE/ID of the row that the deciding rule is about; empty where it is about none. */
  readonly on: string;
  readonly product?: string;
  readonly driver?: string | undefined;
  readonly vehicle?: string | undefined;
  /** HOLDER ALLOWANCE of each party. */
  readonly charged?: readonly string[];
  /** Questions whose answer is implausible and goes on all the same. */
  readonly noted?: readonly string[];
}

const no = (rule: RuleCode, table: string, id: string): Naive => ({
  approved: false,
  rule,
  limit: 0,
  on: table === '' ? '' : `${table}/${id}`,
});

export function naiveDecide(fleet: Fleet, r: DecisionRequest, usage: Usage, stopped: readonly string[] = []): Naive {
  const site = [...fleet.sites.values()].find((s) => s.id === r.site);
  if (!site?.active) return no('site-known', 'sites', r.site);
  const hose = [...fleet.hoses.values()].find((h) => h.id === r.hose && h.site === r.site);
  if (!hose?.active) return no('hose-known', 'hoses', r.hose);
  if (r.terminal && !hose.terminals.includes(r.terminal)) return no('hose-terminal', 'hoses', r.hose);
  const here = Temporal.Instant.fromEpochMilliseconds(r.at).toZonedDateTimeISO(site.zone);
  const today = here.toPlainDate();
  const inDates = (from: string | null, until: string | null) =>
    (from === null || Temporal.PlainDate.compare(today, Temporal.PlainDate.from(from)) >= 0) &&
    (until === null || Temporal.PlainDate.compare(today, Temporal.PlainDate.from(until)) <= 0);

  if (r.credentials.length === 0) return no('card-known', '', '');
  const cards: Credential[] = [];
  for (const number of r.credentials) {
    const found = [...fleet.credentials.values()].filter((c) => c.number === number);
    const card = found[0];
    if (found.length !== 1 || !card) return no('card-known', '', '');
    if (card.stopped || stopped.includes(number)) return no('card-stopped', 'credentials', card.id);
    if (!inDates(card.validFrom, card.validUntil)) return no('card-dates', 'credentials', card.id);
    cards.push(card);
  }
  // The first card at which they no longer agree.
  const clash = cards.find((c, i) => {
    const before = cards.slice(0, i);
    const other = (of: 'driver' | 'vehicle') => before.some((b) => b[of] !== null && c[of] !== null && b[of] !== c[of]);
    return (c.driver === null && c.vehicle === null) || other('driver') || other('vehicle');
  });
  if (clash) return no('cards-agree', 'credentials', clash.id);
  const driverIds = new Set(cards.flatMap((c) => (c.driver === null ? [] : [c.driver])));
  const vehicleIds = new Set(cards.flatMap((c) => (c.vehicle === null ? [] : [c.vehicle])));
  const [driverId] = driverIds;
  const [vehicleId] = vehicleIds;
  const driver = driverId === undefined ? undefined : fleet.drivers.get(driverId);
  const vehicle = vehicleId === undefined ? undefined : fleet.vehicles.get(vehicleId);
  if (driverId !== undefined && !driver) return no('holder-active', 'drivers', driverId);
  if (vehicleId !== undefined && !vehicle) return no('holder-active', 'vehicles', vehicleId);
  for (const [holder, table] of [
    [driver, 'drivers'],
    [vehicle, 'vehicles'],
  ] as const) {
    if (!holder) continue;
    if (!holder.active) return no('holder-active', table, holder.id);
    if (!inDates(holder.validFrom, holder.validUntil)) return no('holder-dates', table, holder.id);
    if (holder.sites !== null && !holder.sites.includes(r.site)) return no('holder-site', table, holder.id);
  }
  const need = site.identify;
  if (((need === 'driver' || need === 'both') && !driver) || ((need === 'vehicle' || need === 'both') && !vehicle))
    return no('identified', 'sites', r.site);
  if (site.closed.includes(today.toString())) return no('site-open', 'sites', r.site);
  if (site.pin && driver && r.pin !== 'right') return no('pin', 'drivers', driver.id);

  const noted: string[] = [];
  const asked = new Set([...site.questions, ...(driver?.questions ?? []), ...(vehicle?.questions ?? [])]);
  for (const id of asked) {
    const q = fleet.questions.get(id);
    if (!q) continue;
    const isCounter = q.kind === 'odometer' || q.kind === 'hours';
    if (isCounter && vehicle && vehicle.counter !== q.kind) continue;
    const given = r.answers[id];
    if (given === undefined) return no('question', 'questions', id);
    const answer = given.trim();
    if (isCounter) {
      if (!/^[0-9]+$/.test(answer) || answer.length > q.digits) return no('question', 'questions', id);
      const last = vehicle ? usage.lastReading(vehicle.id, q.kind as 'odometer' | 'hours') : undefined;
      if (vehicle && last !== undefined && (q.leastAdvance !== null || q.mostAdvance !== null)) {
        const advance = Number(answer) - last;
        const bad =
          advance < 0 ||
          (q.leastAdvance !== null && advance < q.leastAdvance) ||
          (q.mostAdvance !== null && advance > q.mostAdvance);
        if (bad && q.whenImplausible === 'decline') return no('question', 'questions', id);
        if (bad) noted.push(id);
      }
    } else {
      const listed = q.accepted.map((a) => a.trim().toUpperCase()).includes(answer.toUpperCase());
      if (q.kind === 'text' && !listed) return no('question', 'questions', id);
      if (q.kind === 'job') {
        if (answer === '' || answer.length > q.digits || !/^[A-Z0-9]+$/i.test(answer))
          return no('question', 'questions', id);
        if (q.accepted.length > 0 && !listed) return no('question', 'questions', id);
      }
    }
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
  type Judged = { readonly room: number; readonly rule: RuleCode; readonly allowance: string };
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
        continue;
      }
      const u = usage.used(key, id, r.site, r.at) ?? { day: 0, week: 0, month: 0, fillsToday: 0 };
      const part = (left: number) => (usage.cutOff && a.cutOff === 'share' ? Math.floor((left * a.share) / 100) : left);
      const rooms: [number, RuleCode][] = [];
      if (a.fillsPerDay !== null && u.fillsToday >= a.fillsPerDay) rooms.push([0, 'fills-per-day']);
      if (a.perFill !== null) rooms.push([a.perFill, 'per-fill']);
      if (a.perDay !== null) rooms.push([part(a.perDay - u.day), 'per-day']);
      if (a.perWeek !== null) rooms.push([part(a.perWeek - u.week), 'per-week']);
      if (a.perMonth !== null) rooms.push([part(a.perMonth - u.month), 'per-month']);
      const least = Math.min(...rooms.map(([n]) => n));
      const found = rooms.find(([n]) => n === least);
      const room = found
        ? { room: found[0], rule: found[1], allowance: id }
        : { room: Number.POSITIVE_INFINITY, rule: 'per-fill' as const, allowance: id };
      if (!best || room.room > best.room) best = room;
    }
    return best ?? { room: -1, rule: ORDER[failed.at] as RuleCode, allowance: failed.allowance };
  };
  const limits: [number, RuleCode, string][] = [];
  const charged: string[] = [];
  for (const [holder, kind] of [
    [driver, 'driver'],
    [vehicle, 'vehicle'],
  ] as const) {
    if (!holder?.allowances.some((id) => fleet.allowances.has(id))) continue;
    const party = judge(holder, `${kind}:${holder.id}`);
    if (party.room < 100_000) return no(party.rule, 'allowances', party.allowance);
    limits.push([party.room, party.rule, `allowances/${party.allowance}`]);
    charged.push(`${kind}:${holder.id} ${party.allowance}`);
  }
  if (limits.length === 0)
    return driver ? no('allowance', 'drivers', driver.id) : no('allowance', 'vehicles', vehicle?.id ?? '');
  limits.push([hose.mostPerFill, 'hose-most', `hoses/${hose.id}`]);
  if (vehicle && vehicle.capacity !== null) limits.push([vehicle.capacity, 'vehicle-tank', `vehicles/${vehicle.id}`]);
  const least = Math.min(...limits.map(([n]) => n));
  const [, rule, on] = limits.find(([n]) => n === least) as [number, RuleCode, string];
  const said = { rule, limit: least, on };
  if (least < 100_000) return { approved: false, ...said, limit: 0 };
  const who = { driver: driver?.id, vehicle: vehicle?.id };
  return { approved: true, ...said, product: hose.product, ...who, charged, noted };
}
