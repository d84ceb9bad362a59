import { type AnyRow, type Credential, type Fleet, rowsOf, type TableName, type Window } from '../../fleet/index.ts';
import { localMoment, monthStart, weekdayOf, weekStart, type ZoneTable } from '../../units/index.ts';
import type { Usage, Zones } from '../types.ts';
import type { Change, KnownUsage, WhyCase } from './types.ts';

/** The case after the changes, in any order; `at` is the moment at which windows are widened and dates extended: that of the case as it was. */
export function changed(base: WhyCase, changes: readonly Change[], zones: Zones): WhyCase {
  let next = base;
  for (const change of changes) next = one(next, change, base, zones);
  return next;
}

function one(now: WhyCase, change: Change, base: WhyCase, zones: Zones): WhyCase {
  const { request, usage } = now;
  switch (change.kind) {
    case 'hose':
      return { ...now, request: { ...request, hose: change.hose } };
    case 'time':
      return { ...now, request: { ...request, at: change.at } };
    case 'pin':
      return { ...now, request: { ...request, pin: 'right' } };
    case 'answer':
      return { ...now, request: { ...request, answers: { ...request.answers, [change.question]: change.answer } } };
    case 'present': {
      const names = change.table === 'drivers' ? 'driver' : 'vehicle';
      // A credential of the same kind alone makes way; one that names both stays, and `decide` says whether they agree.
      const kept = request.credentials.filter((number) => {
        let card: Credential | undefined;
        for (const c of now.fleet.credentials.values()) if (c.number === number) card ??= c;
        const other = names === 'driver' ? card?.vehicle : card?.driver;
        return !(card && card[names] !== null && other === null);
      });
      return { ...now, request: { ...request, credentials: [...kept, change.number] } };
    }
    case 'link':
      return { ...now, usage: { ...usage, cutOff: false } };
    case 'give':
      return edit(now, change.table, change.id, (row) => ({
        ...row,
        allowances: [...(row.allowances as string[]), change.allowance],
      }));
    case 'field':
      return edit(now, change.table, change.id, (row) => ({
        ...row,
        [change.field]: newValue(row, change, base, zones),
      }));
  }
}

function edit(now: WhyCase, table: TableName, id: string, make: (row: AnyRow) => AnyRow): WhyCase {
  const row = rowsOf(now.fleet, table).get(id);
  if (!row) return now;
  const rows = new Map(rowsOf(now.fleet, table));
  rows.set(id, make(row));
  return { ...now, fleet: { ...now.fleet, [table]: rows } as unknown as Fleet };
}

function newValue(row: AnyRow, change: Extract<Change, { kind: 'field' }>, base: WhyCase, zones: Zones): unknown {
  const had = row[change.field];
  if (change.field === 'closed') return (had as string[]).filter((d) => d !== change.to);
  if (change.field === 'times') {
    const { weekday, minute } = wallOf(base, zones);
    const hour = Math.floor(minute / 60) * 60;
    const window: Window = { days: [weekday], from: hour, to: hour + 60 };
    return had === null ? null : [...(had as Window[]), window];
  }
  if (Array.isArray(had)) return had.includes(change.to) ? had : [...had, change.to];
  return change.to;
}

const UTC: ZoneTable = { zone: 'UTC', at: [Number.NEGATIVE_INFINITY], offsetMin: [0] };

export function zoneOf(base: WhyCase, zones: Zones): ZoneTable {
  const site = base.fleet.sites.get(base.request.site);
  return site ? zones(site.zone) : UTC;
}

/** The request's moment by the clock on the site's wall. */
export function wallOf(base: WhyCase, zones: Zones): { day: number; weekday: number; minute: number } {
  const { day, minute } = localMoment(zoneOf(base, zones), base.request.at);
  return { day, weekday: weekdayOf(day), minute };
}

/** What will have been drawn at another moment: what belongs to a day, week or month that is over counts no more. */
export function usageAt(known: KnownUsage, zone: ZoneTable, asOf: number): Usage {
  const base = localMoment(zone, asOf).day;
  return {
    cutOff: known.cutOff,
    used: (holder, allowance, _site, at) => {
      const used = known.used[`${holder} ${allowance}`];
      if (!used) return undefined;
      const { day } = localMoment(zone, at);
      const same = day === base;
      return {
        day: same ? used.day : 0,
        fillsToday: same ? used.fillsToday : 0,
        week: weekStart(day) === weekStart(base) ? used.week : 0,
        month: monthStart(day) === monthStart(base) ? used.month : 0,
      };
    },
    lastReading: (vehicle, kind) => known.readings[`${vehicle} ${kind}`],
  };
}
