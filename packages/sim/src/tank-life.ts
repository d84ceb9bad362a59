import {
  type Chart,
  chartOfShape,
  dipAtVolume,
  type Gauge,
  type TankShape,
  volumeAtDip,
} from '@fillwright/core/metering';
import type { Billed, Drawn, History } from '@fillwright/core/stock';
import { type Random, randomFrom } from './random.ts';

/**
 * Months of one tank by plain physics, quick enough for thousands: fuel that swells with its temperature, a gauge with noise, bills that are
 * a little wrong, a tank that does not stand level while its chart supposes so, meters that drift, and perhaps a leak.
 */
export interface TankLife {
  readonly seed: string | number;
  readonly days: number;
  /** When it ends, ms UTC, if not after whole days. */
  readonly to?: number;
  /** What is drawn, in order and one after another, instead of what a working yard would. A delivery then waits for an hour in which nobody draws. */
  readonly draws?: readonly Drawn[];
  /** ms UTC, a midnight. */
  readonly from?: number;
  readonly diameterMm?: number;
  readonly lengthMm?: number;
  /** The far end stands lower by so much; the chart does not know. The gauge stands 600 mm from the near end. */
  readonly fallMm?: number;
  /** Standard deviation of one reading of the level, mm; each is also rounded to a tenth. */
  readonly gaugeMm?: number;
  /** Share of a reading's error that the next one half an hour later still has; 0: none. */
  readonly gaugeMemory?: number;
  /** Standard deviation of an error that each reading has for itself beside one with a memory, mm. */
  readonly gaugeOwnMm?: number;
  /** Height of an error that comes back every day at the same hour, mm: what no memory describes. */
  readonly gaugeDailyMm?: number;
  readonly leakLitresPerHour?: number;
  /** Per hose: part by which it gives more than it counts. Their number is the number of hoses. */
  readonly drifts?: readonly number[];
  /** Litres a day by all hoses together on a working day. */
  readonly dailyLitres?: number;
  /** Standard deviation of a bill's error, as a part. */
  readonly deliveryError?: number;
  /** By how much the ground's temperature moves over a month, K, and by how much a delivery may differ from the tank, K. */
  readonly swingC?: number;
  readonly deliveryC?: number;
  /** Fuel taken in one go: at which hour from the beginning, and how much. */
  readonly theft?: { readonly hour: number; readonly litres: number };
}

/** A history with what only its maker knows. */
export interface TankHistory extends History {
  readonly readings: readonly (History['readings'][number] & {
    readonly levelMm: number;
    readonly moment: 'fillStart' | 'fillEnd' | 'quiet';
    /** The fill that it is of. */
    readonly fill?: string;
  })[];
  readonly openingLitres: number;
  /** Gross litres in the tank at the end, and their temperature. */
  readonly closing: { readonly litres: number; readonly tempC: number };
}

const HOUR = 3_600_000;
const DAY = 24 * HOUR;
/** Diesel at 15 °C, per K (API MPMS 11.1 at 840 kg/m3). */
const EXPANSION = 0.00083;
/** What a working week draws, Monday first. Common practice, no source. */
const WEEK = [1.05, 1.1, 1.0, 1.05, 1.1, 0.35, 0.15];
const QUIET_MS = HOUR / 2;
/** A gauge's first word after a fill. */
const SETTLED_MS = 90_000;

type ByChart = Extract<Gauge, { by: 'chart' }>;
const charts = new Map<string, ByChart>();
function gaugeOf(shape: TankShape): ByChart {
  const key = JSON.stringify(shape);
  let gauge = charts.get(key);
  if (!gauge) {
    const chart = chartOfShape(shape, 10);
    if (!chart.ok) throw new RangeError(chart.error.cause);
    gauge = { by: 'chart', chart: chart.value satisfies Chart };
    charts.set(key, gauge);
  }
  return gauge;
}
const sure = (r: { ok: boolean; value?: number }): number => {
  if (!r.ok || r.value === undefined) throw new RangeError('the simulated tank left its chart');
  return r.value;
};

/** The history as an office would have it. The truth is what was asked for. */
export function tankLife(life: TankLife): TankHistory {
  const random = randomFrom(`tank life/${life.seed}`);
  const diameterMm = life.diameterMm ?? 2_500;
  const lengthMm = life.lengthMm ?? 8_000;
  const flat = { kind: 'flat' } as const;
  const level: TankShape = { kind: 'lying cylinder', diameterMm, lengthMm, near: flat, far: flat };
  const chart = gaugeOf(level);
  const truth = life.fallMm ? gaugeOf({ ...level, tilt: { fallMm: life.fallMm, gaugeMm: 600 } }) : chart;
  const capacityLitres = sure(volumeAtDip(chart, diameterMm));
  const from = life.from ?? Date.UTC(2026, 8, 7);
  const end = life.to ?? from + life.days * DAY;

  const fills = life.draws ?? drawsOf(life, random.part('draws'), from);
  const heat = temperature(life, random.part('heat'), from);
  const noise = gaugeNoise(life, random.part('gauge'));
  const bills = random.part('bills');
  const drifts = life.drifts ?? [0, 0, 0];

  let net = capacityLitres * 0.62;
  const openingLitres = net * (1 + EXPANSION * (heat.at(from) - 15));
  let clock = from;
  const billed: Billed[] = [];
  const readings: TankHistory['readings'][number][] = [];
  const pass = (to: number) => {
    net -= ((to - clock) / HOUR) * (life.leakLitresPerHour ?? 0);
    if (life.theft) {
      const at = from + life.theft.hour * HOUR;
      if (clock < at && at <= to) net -= life.theft.litres;
    }
    clock = to;
  };
  const swollen = (at: number) => net * (1 + EXPANSION * (heat.at(at) - 15));
  const read = (at: number, moment: TankHistory['readings'][number]['moment'] = 'quiet', fill?: string) => {
    const dip = sure(dipAtVolume(truth, swollen(at))) + noise(at);
    const levelMm = Math.round(dip * 10) / 10;
    readings.push({
      at,
      moment,
      ...(fill === undefined ? {} : { fill }),
      levelMm,
      litres: sure(volumeAtDip(chart, levelMm)),
      tempC: Math.round((heat.at(at) + random.normal(0, 0.1)) * 100) / 100,
      waterMm: 0,
    });
  };
  let quiet = from;
  const rest = (until: number) => {
    for (; quiet < until; quiet += QUIET_MS) {
      if (quiet < clock) continue;
      pass(quiet);
      read(quiet);
    }
  };
  const drawn: Drawn[] = [];
  for (const [i, f] of fills.entries()) {
    rest(f.from);
    // Nobody draws while a lorry delivers: who came meanwhile has left.
    if (f.from < clock) continue;
    drawn.push(f);
    pass(f.from);
    read(f.from, 'fillStart', f.id);
    pass(f.to);
    const drift = drifts[Number(f.hose.slice(1)) - 1] ?? 0;
    net -= (f.litres * (1 + drift)) / (1 + EXPANSION * (heat.at(f.to) - 15));
    read(f.to, 'fillEnd', f.id);
    quiet = Math.max(quiet, f.to + (life.draws ? SETTLED_MS : QUIET_MS));
    const hourFree = !life.draws || (fills[i + 1]?.from ?? end) > f.to + HOUR;
    if (hourFree && swollen(f.to) < 0.3 * capacityLitres) deliver(f.to + bills.between(1, 20) * 60_000);
  }
  rest(end);

  function deliver(at: number): void {
    const room = Math.floor((0.9 * capacityLitres - swollen(at)) / 500) * 500;
    const litres = Math.max(500, Math.min(room, 20_000));
    const tempC = heat.at(at) + bills.normal(0, life.deliveryC ?? 4);
    const came = (litres * (1 + bills.normal(0, life.deliveryError ?? 0.003))) / (1 + EXPANSION * (tempC - 15));
    const to = at + 25 * 60_000;
    pass(at);
    heat.mix(at, net, came, tempC);
    net += came;
    pass(to);
    quiet = to + QUIET_MS;
    read(to + 60_000);
    clock = to + 60_000;
    billed.push({
      id: `bill ${billed.length + 1}`,
      at: to,
      litres,
      netLitres: null,
      tempC: Math.round(tempC * 10) / 10,
    });
  }

  return {
    body: { capacityLitres, chart: chart.chart },
    expansionPerK: EXPANSION * 1.01,
    readings,
    fills: drawn,
    billed,
    gaugeLagMs: 0,
    openingLitres,
    closing: { litres: swollen(end), tempC: heat.at(end) },
  };
}

/** Draws one after another, in the hours of a working yard. */
function drawsOf(life: TankLife, random: Random, from: number): Drawn[] {
  const hoses = (life.drifts ?? [0, 0, 0]).length;
  const daily = life.dailyLitres ?? 3_000;
  const fills: Drawn[] = [];
  let free = from;
  for (let day = 0; day < life.days; day++) {
    const share = WEEK[(day + ((from / DAY + 3) % 7)) % 7] ?? 1;
    const count = Math.round((daily * share) / 85 + random.normal(0, 2));
    const starts = Array.from(
      { length: Math.max(0, count) },
      () => from + day * DAY + random.between(5, 20.5) * HOUR,
    ).sort((a, b) => a - b);
    for (const start of starts) {
      const at = Math.max(start, free + 120_000);
      const litres = Math.round(random.between(20, 150) * 10) / 10;
      const to = Math.round(at + (litres / 60) * 60_000 + 30_000);
      fills.push({ id: `f${fills.length + 1}`, hose: `h${random.whole(1, hoses)}`, from: Math.round(at), to, litres });
      free = to;
    }
  }
  return fills;
}

/** The ground's season, a small daily swing, and what deliveries bring, which the ground takes back in some days. */
function temperature(life: TankLife, random: Random, from: number) {
  const base = random.between(8, 20);
  const swing = life.swingC ?? 3;
  const phase = random.between(0, 2 * Math.PI);
  let [excess, since] = [0, from];
  const RELAX = 4 * DAY;
  const at = (t: number) =>
    base +
    swing * Math.sin((Math.PI * (t - from)) / (30 * DAY) + phase) +
    0.3 * Math.sin((2 * Math.PI * ((t % DAY) - 9 * HOUR)) / DAY) +
    excess * Math.exp(-(t - since) / RELAX);
  return {
    at,
    mix(t: number, held: number, came: number, tempC: number) {
      const now = at(t);
      const mixed = (held * now + came * tempC) / (held + came);
      excess = excess * Math.exp(-(t - since) / RELAX) + (mixed - now);
      since = t;
    },
  };
}

/** White by default; with a memory neighbouring readings err alike. */
function gaugeNoise(life: TankLife, random: Random): (at: number) => number {
  const sd = life.gaugeMm ?? 1;
  const memory = life.gaugeMemory ?? 0;
  const own = life.gaugeOwnMm ?? 0;
  const daily = life.gaugeDailyMm ?? 0;
  let [last, when] = [random.normal(0, sd), 0];
  const wandering = (at: number) => {
    if (memory === 0) return random.normal(0, sd);
    const keep = memory ** ((at - when) / QUIET_MS);
    last = keep * last + random.normal(0, sd * Math.sqrt(1 - keep * keep));
    when = at;
    return last;
  };
  return (at) =>
    wandering(at) +
    (own > 0 ? random.normal(0, own) : 0) +
    (daily !== 0 ? daily * Math.sin((2 * Math.PI * (at % DAY)) / DAY) : 0);
}
