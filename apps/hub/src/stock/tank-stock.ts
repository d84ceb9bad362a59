import type { Tank } from '@fillwright/core/fleet';
import { type Chart, chartOfTank, volumeAtDip } from '@fillwright/core/metering';
import {
  BASE_C,
  type BookMove,
  bookDays,
  controlChart,
  type DayDemand,
  demandOf,
  type History,
  judge,
  judgeDrifts,
  levelPart,
  lyingBody,
  type Matched,
  type Part,
  RECONCILED_MEANS,
  reconcile,
  runOut,
  stillTrace,
  type TankModel,
  tankModel,
  waterRise,
} from '@fillwright/core/stock';
import { formatDate, localMoment, weekdayOf, type ZoneTable } from '@fillwright/core/units';
import type { TankStock } from '@fillwright/wire';
import { ownChartOf } from './own-chart.ts';
import type { TankRows } from './rows.ts';

/** Expansion per K near 15 °C. Diesel and petrol: API MPMS 11.1 at 840 and 740 kg/m3. Exhaust fluid: from memory, about 0.00042. */
const EXPANSION: Readonly<Record<string, number>> = { petrol: 0.00124, diesel: 0.00083, dyed: 0.00083, def: 0.00042 };
const UL = 1_000_000;
const MOST_POINTS = 20_000;
/** A gauge in the yard reports every half minute or so; a level is at rest when nobody drew in the minute before. */
const GAUGE_LAG_MS = 60_000;

export interface StockWish {
  readonly tank: Tank;
  readonly productKind: string;
  readonly zone: ZoneTable;
  readonly from: number;
  readonly to: number;
  readonly leadDays: number;
  /** The temperature that bills are net to: 60 °F or 15 °C. */
  readonly netBaseC: number;
  readonly units: 'us' | 'metric';
  /** What each hose is called. */
  readonly hoseNames: Readonly<Record<string, string>>;
}

/** A tank's wet stock from its rows: pure, so that the same rows give the same answer. */
export function tankStock(wish: StockWish, asStored: TankRows): TankStock {
  const { tank, zone } = wish;
  const chart = chartOfTank(tank);
  const rows = chart ? { ...asStored, readings: byChart(chart, asStored.readings) } : asStored;
  const dayOf = (at: number) => localMoment(zone, at).day;
  const history = historyOf(wish, rows);
  const found = tankModel(history);
  const model = typeof found === 'string' ? null : found;
  const dips = rows.others.filter((m) => m.kind === 'dip');
  const rest = new Set(stillTrace(history).still.map((s) => s.at));
  const measured = [...rows.readings.filter((r) => rest.has(r.at)), ...dips]
    .map((r) => ({ at: r.at, volume: r.volume }))
    .sort((a, b) => a.at - b.at);
  const moves: BookMove[] = [
    ...rows.fills.map((f) => ({ at: f.at, kind: 'fill' as const, volume: -f.volume })),
    // Test fuel that went back was never drawn for good: it comes off what was drawn, and so off the month's throughput.
    ...rows.others.flatMap((m) =>
      m.kind === 'dip' ? [] : [{ at: m.at, kind: m.kind === 'proving' ? ('fill' as const) : m.kind, volume: m.volume }],
    ),
  ].sort((a, b) => a.at - b.at);
  const days = bookDays(moves, measured, dayOf);
  const control = new Map(controlChart(days).map((c) => [c.day, c]));
  const month = days.length > 0 ? reconcile(days) : null;
  const every = Math.max(1, Math.ceil(rows.readings.length / MOST_POINTS));
  return {
    tank: tank.id,
    from: wish.from,
    to: wish.to,
    capacity: tank.capacity,
    safe: Math.floor((tank.capacity / 100) * tank.safeFill),
    low: tank.low,
    trace: rows.readings.filter((_, i) => i % every === 0).map((r): [number, number] => [r.at, r.volume]),
    dips: dips.map((d): [number, number] => [d.at, d.volume]),
    fills: rows.fills.slice(-5_000).map((f) => ({ id: f.id, at: f.at, hose: f.hose, volume: f.volume })),
    deliveries: (model?.deliveries ?? []).map((d) => deliveryOf(d, rows)),
    losses: (model?.losses ?? []).map((l) => ({ from: l.from, to: l.to, volume: Math.round(l.netLitres * UL) })),
    days: days.map((d) => {
      const c = control.get(d.day);
      const { day, from: _from, to: _to, ...sums } = d;
      return { date: formatDate(day), ...sums, high: c?.high ?? null, low: c?.low ?? null, signal: c?.signal ?? null };
    }),
    month: month && {
      ...month,
      means: month.within ? RECONCILED_MEANS.within : RECONCILED_MEANS.beyond,
      scope: RECONCILED_MEANS.scope,
    },
    ...ownChartOf(tank, wish.units, history, model),
    model: model && modelOf(model, (hose) => wish.hoseNames[hose] ?? `hose ${hose}`),
    noModel: typeof found === 'string' ? found : null,
    water: waterRise(history.readings) ?? null,
    runOut: runOutOf(wish, rows, dayOf),
    cautions: cautionsOf(rows, wish),
  };
}

/** Levels as the tank's own chart makes volumes of them; where a level is not told, or the chart does not reach it, as it was stored. */
const byChart = (chart: Chart, readings: TankRows['readings']): TankRows['readings'] =>
  readings.map((r) => {
    const litres = r.level_mm === null ? null : volumeAtDip({ by: 'chart', chart }, r.level_mm);
    return litres?.ok ? { ...r, volume: Math.round(litres.value * UL) } : r;
  });

function historyOf(wish: StockWish, rows: TankRows): History {
  const { tank } = wish;
  const expansionPerK = EXPANSION[wish.productKind] ?? 0.00083;
  const toBase = 1 + expansionPerK * (wish.netBaseC - BASE_C);
  const chart = chartOfTank(tank);
  const [capacityLitres, at] = [tank.capacity / UL, [] as number[]];
  for (const r of rows.readings) {
    const filled = r.volume / tank.capacity;
    // Near the middle a level tells the diameter best.
    if (r.level_mm !== null && filled > 0.2 && filled < 0.8) at.push(r.level_mm / levelPart(filled));
  }
  at.sort((a, b) => a - b);
  return {
    // Without a level any diameter will do: it only turns litres into millimetres and back.
    body: chart
      ? { capacityLitres: chart.litres.at(-1) ?? capacityLitres, chart }
      : lyingBody(capacityLitres, at[at.length >> 1] ?? 2_400),
    expansionPerK,
    readings: rows.readings.map((r) => ({
      at: r.at,
      litres: r.volume / UL,
      tempC: r.temp_c,
      waterMm: r.water_mm,
      levelMm: r.level_mm,
    })),
    fills: rows.fills.map((f) => ({
      id: f.id,
      hose: f.hose,
      from: f.started,
      to: f.at,
      litres: (f.volume - f.back) / UL,
    })),
    billed: rows.others
      .filter((m) => m.kind === 'delivery')
      .map((m) => ({
        id: m.id,
        at: m.at,
        litres: (m.gross ?? m.volume) / UL,
        netLitres: m.net === null ? null : m.net / UL / toBase,
        tempC: m.temp_c,
      })),
    gaugeLagMs: GAUGE_LAG_MS,
  };
}

function deliveryOf(d: Matched, rows: TankRows): TankStock['deliveries'][number] {
  const row = rows.others.find((m) => m.id === d.billed?.id);
  const whole = (litres: number | null) => (litres === null ? null : Math.round(litres * UL));
  return {
    found: d.found && { from: d.found.from, to: d.found.to, volume: Math.round(d.found.netLitres * UL) },
    bill: row
      ? {
          move: row.id,
          at: row.at,
          gross: row.gross ?? row.volume,
          net: row.net,
          tempC: row.temp_c,
          document: row.document ?? row.note,
          compartments: row.compartments ?? [],
        }
      : null,
    billedNet: whole(d.billedNet),
    netBy: d.netBy,
    difference: whole(d.differenceNet),
  };
}

function modelOf(model: TankModel, hoseName: (hose: string) => string): NonNullable<TankStock['model']> {
  const judged = judge(model);
  const meters = judgeDrifts(model);
  return {
    ...judged,
    residualMm: model.residualMm,
    widened: model.widened,
    gauge: model.gauge,
    readings: model.rows,
    leftOut: model.leftOut,
    hours: model.hours,
    hoses: meters.hoses,
    oneOf: meters.oneOf,
    estimates: model.estimates
      .filter((e) => e.part.kind !== 'constant')
      .map((e) => ({
        part: wordsOf(e.part, hoseName),
        value: e.value,
        deviation: e.deviation,
        unit: unitOf(e.part),
        told: e.told,
      })),
    confused: model.confused.map((group) => [...new Set(group.map((p) => wordsOf(p, hoseName)))]),
  };
}

function wordsOf(part: Part, hoseName: (hose: string) => string): string {
  if (part.kind === 'hose') return `${hoseName(part.hose)}: gives more than it counts`;
  if (part.kind === 'delivery')
    return `delivery of ${new Date(part.at).toISOString().slice(0, 16)}Z: more came than billed`;
  if (part.kind === 'chart')
    return { offset: 'gauge offset or tilt', scale: 'chart out of scale', bend: 'chart bent' }[part.which];
  if (part.kind === 'daily') return 'error of the gauge by the hour of the day';
  return { leak: 'loss', temperature: 'expansion other than supposed', constant: 'opening level' }[part.kind];
}

function unitOf(part: Part): string {
  if (part.kind === 'leak') return 'litres an hour';
  if (part.kind === 'temperature') return 'per K';
  return part.kind === 'daily' || (part.kind === 'chart' && part.which === 'offset') ? 'mm' : 'part';
}

const AHEAD = 14;

function runOutOf(wish: StockWish, rows: TankRows, dayOf: (at: number) => number): TankStock['runOut'] {
  const held = [
    ...rows.readings.map((r) => [r.at, r.volume] as const),
    ...rows.others.filter((m) => m.kind === 'dip').map((m) => [m.at, m.volume] as const),
  ]
    .sort((a, b) => a[0] - b[0])
    .at(-1)?.[1];
  const first = rows.demand[0];
  if (held === undefined || !first) return null;
  const today = dayOf(wish.to);
  const sums = new Map<number, number>();
  for (const d of rows.demand) sums.set(dayOf(d.at), (sums.get(dayOf(d.at)) ?? 0) + d.volume);
  const days: DayDemand[] = [];
  // The first day and today are not whole.
  for (let day = dayOf(first.at) + 1; day < today; day++)
    days.push({ weekday: (weekdayOf(day) + 7) % 7, litres: (sums.get(day) ?? 0) / UL });
  const demand = demandOf(days);
  if (!demand) return null;
  const safe = Math.floor((wish.tank.capacity / 100) * wish.tank.safeFill);
  const whole = (litres: number) => Math.round(litres * UL);
  return {
    ...runOut(demand, (held - wish.tank.low) / UL, wish.leadDays),
    leadDays: wish.leadDays,
    // The fuller of level and book counts, as on the list of tanks.
    room: Math.max(0, safe - Math.max(held, rows.book)),
    ahead: Array.from({ length: AHEAD }, (_, i) => ({
      date: formatDate(today + i),
      low: whole(demand.within(i + 1, 0.05)),
      middle: whole(demand.within(i + 1, 0.5)),
      high: whole(demand.within(i + 1, 0.95)),
    })),
  };
}

function cautionsOf(rows: TankRows, wish: StockWish): string[] {
  const cautions = [
    'Decision support: not a certified leak detection method. The authority having jurisdiction and registered people decide.',
  ];
  if (rows.fills.some((f) => f.tanks > 1))
    cautions.push(
      'This tank is manifolded: nobody measures which tank gave how much, so its own book is a split by capacity.',
    );
  if (rows.readings.length > 0 && rows.readings.every((r) => r.temp_c === null))
    cautions.push(
      'The gauge gives no temperature: a change of 5 K moves 15,000 l of diesel by about 62 l, and looks like a loss or a gain.',
    );
  if (EXPANSION[wish.productKind] === undefined)
    cautions.push('The product’s expansion is not known; that of diesel is supposed.');
  if (rows.readings.length === 0) cautions.push('No gauge readings: only dips and the book are compared.');
  return cautions;
}
