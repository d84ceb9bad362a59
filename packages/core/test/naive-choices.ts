import type { Change, WhyCase } from '@fillwright/core/decide';
import type { Allowance, Driver, Vehicle, Window } from '@fillwright/core/fleet';
import { Temporal } from 'temporal-polyfill';

/**
 * Everything that could be changed about a request but its moment, listed a second time from SPEC.md and the words of `why/types.ts`: rule
 * by rule, over every row of the fleet, with Temporal for the clock. Shares no code with `choicesOf`. Whoever could be presented is listed with each of
 * their credentials, also where several are of one kind. `wanted` is in microlitres.
 */
export function naiveChoices(base: WhyCase, wanted: number): Change[] {
  const { fleet, request, usage } = base;
  const need = Math.max(100_000, wanted);
  const out = new Map<string, Change>();
  const offer = (change: Change) => out.set(JSON.stringify(change), change);
  type Table = Extract<Change, { kind: 'field' }>['table'];
  const set = (table: Table, id: string, field: string, to: string | number | boolean | null) =>
    offer({ kind: 'field', table, id, field, to });

  const here = [...fleet.sites.values()].find((s) => s.id === request.site);
  const wall = Temporal.Instant.fromEpochMilliseconds(request.at).toZonedDateTimeISO(here?.zone ?? 'UTC');
  const today = wall.toPlainDate();
  const early = (row: Dated) => row.validFrom !== null && after(row.validFrom, today);
  const late = (row: Dated) => row.validUntil !== null && after(today, row.validUntil);
  const inDates = (row: Dated) => !early(row) && !late(row);
  const datesOf = (table: Table, row: Dated & { readonly id: string }) => {
    if (early(row)) set(table, row.id, 'validFrom', today.toString());
    if (late(row)) set(table, row.id, 'validUntil', today.toString());
  };
  const chosen = [...fleet.hoses.values()].find((h) => h.id === request.hose);

  // site-known, site-open
  if (here?.active === false) set('sites', here.id, 'active', true);
  for (const date of here?.closed ?? []) if (date === today.toString()) set('sites', request.site, 'closed', date);
  // hose-known, hose-terminal, hose-most
  for (const hose of fleet.hoses.values()) {
    if (hose.site !== request.site) continue;
    if (hose !== chosen) {
      offer({ kind: 'hose', hose: hose.id });
      continue;
    }
    if (!hose.active) set('hoses', hose.id, 'active', true);
    const { terminal } = request;
    if (terminal && hose.terminals.every((t) => t !== terminal)) set('hoses', hose.id, 'terminals', terminal);
    if (hose.mostPerFill < need) set('hoses', hose.id, 'mostPerFill', need);
  }
  // card-stopped, card-dates
  const rows = [...fleet.credentials.values()];
  const unlike = rows.filter((c) => rows.filter((other) => other.number === c.number).length === 1);
  const shown = request.credentials.flatMap((number) => unlike.filter((c) => c.number === number));
  for (const card of shown) {
    if (card.stopped) set('credentials', card.id, 'stopped', false);
    datesOf('credentials', card);
  }
  // pin
  if (request.pin !== 'right') offer({ kind: 'pin' });

  const known = {
    drivers: shown.flatMap((c) => [...fleet.drivers.values()].filter((d) => d.id === c.driver)),
    vehicles: shown.flatMap((c) => [...fleet.vehicles.values()].filter((v) => v.id === c.vehicle)),
  };
  const covers = (a: Allowance) => ({
    products: chosen === undefined || a.products.some((p) => p === chosen.product),
    sites: a.sites === null || a.sites.some((s) => s === request.site),
    times: a.times === null || a.times.some((w) => opens(w, wall.dayOfWeek - 1, wall.hour * 60 + wall.minute)),
  });
  for (const table of ['drivers', 'vehicles'] as const) {
    for (const holder of known[table]) {
      // holder-active, holder-dates, holder-site, vehicle-tank
      if (!holder.active) set(table, holder.id, 'active', true);
      datesOf(table, holder);
      if (holder.sites?.includes(request.site) === false) set(table, holder.id, 'sites', request.site);
      const tank = 'capacity' in holder ? holder.capacity : null;
      if (tank !== null && tank < need) set(table, holder.id, 'capacity', need);
      for (const a of fleet.allowances.values()) {
        const covered = covers(a);
        const all = covered.products && covered.sites && covered.times;
        if (!holder.allowances.includes(a.id)) {
          // allowance
          if (all) offer({ kind: 'give', table, id: holder.id, allowance: a.id });
          continue;
        }
        // allowance-product, -site, -time, -cut-off
        if (!covered.products && chosen) set('allowances', a.id, 'products', chosen.product);
        if (!covered.sites) set('allowances', a.id, 'sites', request.site);
        if (!covered.times)
          set('allowances', a.id, 'times', (wall.dayOfWeek - 1) * 1440 + wall.hour * 60 + wall.minute);
        if (usage.cutOff && a.cutOff !== 'goOn') set('allowances', a.id, 'cutOff', 'goOn');
        // fills-per-day, per-fill, per-day, per-week, per-month
        const used = usage.used[`${table === 'drivers' ? 'driver' : 'vehicle'}:${holder.id} ${a.id}`];
        const fills = used?.fillsToday ?? 0;
        if (a.fillsPerDay !== null && a.fillsPerDay <= fills) set('allowances', a.id, 'fillsPerDay', fills + 1);
        if (a.perFill !== null && a.perFill < need) set('allowances', a.id, 'perFill', need);
        const share = usage.cutOff && a.cutOff === 'share' ? a.share : 100;
        const periods = [
          ['perDay', a.perDay, used?.day ?? 0],
          ['perWeek', a.perWeek, used?.week ?? 0],
          ['perMonth', a.perMonth, used?.month ?? 0],
        ] as const;
        for (const [field, most, drawn] of periods) {
          if (most === null || goesOut(most - drawn, share) >= need) continue;
          set('allowances', a.id, field, share === 0 ? null : drawn + leastLeft(need, share));
        }
      }
    }
  }

  // card-known, cards-agree, identified: another vehicle, or a driver where no credential names one
  const others: { table: 'drivers' | 'vehicles'; holder: Driver | Vehicle }[] = [];
  // A number that is nobody's stays presented, and is refused.
  const nobodys = request.credentials.some((number) => !unlike.some((c) => c.number === number));
  for (const card of unlike) {
    if (nobodys || card.stopped || !inDates(card) || (card.driver === null) === (card.vehicle === null)) continue;
    const table = card.driver === null ? 'vehicles' : 'drivers';
    const holder = card.driver === null ? fleet.vehicles.get(card.vehicle ?? '') : fleet.drivers.get(card.driver);
    if (!holder?.active || !inDates(holder)) continue;
    if (table === 'drivers' ? shown.some((c) => c.driver !== null) : shown.some((c) => c.vehicle === holder.id))
      continue;
    const change = { kind: 'present', table, id: holder.id, number: card.number, alike: 0 } as const;
    offer(change);
    if (couldDraw(base, change, need)) others.push({ table, holder });
  }
  // question: of everybody who can be known there
  const together: { drivers: readonly Driver[]; vehicles: readonly Vehicle[] }[] = [known];
  for (const { table, holder } of others) together.push({ ...known, [table]: [holder] });
  for (const { drivers, vehicles } of together) {
    const asked = [here, ...drivers, ...vehicles].flatMap((row) => row?.questions ?? []);
    const [vehicle] = vehicles;
    for (const q of fleet.questions.values()) {
      if (!asked.includes(q.id)) continue;
      const counter = q.kind === 'odometer' || q.kind === 'hours';
      if (counter && vehicle && vehicle.counter !== q.kind) continue;
      let answer: string | undefined;
      if (counter) {
        const last = vehicle && usage.readings[`${vehicle.id} ${q.kind}`];
        // The least plausible reading, where it has no more digits than may be keyed and is not too much at once.
        const least = last === undefined ? 0 : last + (q.leastAdvance ?? 0);
        const bounded = last !== undefined && (q.leastAdvance !== null || q.mostAdvance !== null);
        const tooMuch =
          q.mostAdvance !== null && q.mostAdvance < (q.leastAdvance ?? 0) && q.whenImplausible === 'decline';
        const fits = String(least).length <= q.digits && !(bounded && tooMuch);
        if (fits) answer = String(least);
        else if (!bounded || q.whenImplausible === 'note') answer = '0';
      } else {
        const keyed = (text: string) => /^[a-z0-9]+$/i.test(text) && text.length <= q.digits;
        const accepted = q.accepted.map((a) => a.trim());
        answer = q.kind === 'text' ? accepted[0] : q.accepted.length === 0 ? '1' : accepted.find(keyed);
      }
      if (answer !== undefined && answer !== request.answers[q.id]) offer({ kind: 'answer', question: q.id, answer });
    }
  }
  if (usage.cutOff) offer({ kind: 'link' });
  return [...out.values()];
}

/** Whether somebody presented could come to draw anything here: for this site, with a tank for it, and an allowance that holds or can be widened. */
export function couldDraw({ fleet, request }: WhyCase, change: Extract<Change, { kind: 'present' }>, need: number) {
  const holder = fleet[change.table].get(change.id) as Driver | Vehicle;
  if (holder.sites !== null && !holder.sites.includes(request.site)) return false;
  if ('capacity' in holder && holder.capacity !== null && holder.capacity < need) return false;
  const own = [...fleet.allowances.values()].filter((a) => holder.allowances.includes(a.id));
  const cards = [...fleet.credentials.values()];
  const shown = cards.filter(
    (c) => request.credentials.includes(c.number) && cards.filter((d) => d.number === c.number).length === 1,
  );
  const widened = shown.flatMap((c) => [fleet.drivers.get(c.driver ?? ''), fleet.vehicles.get(c.vehicle ?? '')]);
  const here = [...fleet.hoses.values()].filter((h) => h.site === request.site);
  const holds = (a: Allowance) =>
    widened.some((h) => h?.allowances.includes(a.id)) ||
    ((a.sites === null || a.sites.includes(request.site)) && here.some((h) => a.products.includes(h.product)));
  return own.length === 0 || own.some(holds);
}

interface Dated {
  readonly validFrom: string | null;
  readonly validUntil: string | null;
}

const after = (a: string | Temporal.PlainDate, b: string | Temporal.PlainDate): boolean =>
  Temporal.PlainDate.compare(a, b) > 0;

/** Minute by minute of what the window names, over midnight too. */
function opens(w: Window, weekday: number, minute: number): boolean {
  const length = w.to > w.from ? w.to - w.from : w.to - w.from + 1440;
  return w.days.some((day) => {
    for (let m = w.from; m < w.from + length; m++)
      if ((day * 1440 + m) % 10_080 === weekday * 1440 + minute) return true;
    return false;
  });
}

/** SPEC D20. */
const goesOut = (left: number, share: number): number => Math.floor((left * share) / 100);

/** The least that must be left for `need` to go out. */
function leastLeft(need: number, share: number): number {
  let left = Math.floor((need * 100) / share) - 1;
  while (goesOut(left, share) < need) left++;
  return left;
}
