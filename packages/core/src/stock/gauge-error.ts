/**
 * A gauge's error as a part that is free from reading to reading and a part that wanders and fades, so that readings close in time err
 * alike: after t hours exp(-t / hours) of it is left (R. H. Jones, F. Boadi-Boateng, 'Unequally spaced longitudinal data with AR(1) serial
 * correlation', Biometrics 47, 1991).
 */
export interface GaugeError {
  /** Standard deviation of one reading, mm of level. */
  readonly wholeMm: number;
  /** The part of its variance that wanders, 0 to below 1. 0: readings err each for itself, and `hours` says nothing. */
  readonly shared: number;
  readonly hours: number;
}

/**
 * How each row is foretold from those before it (R. E. Kalman, 'A new approach to linear filtering and prediction problems', 1960, for one
 * state): what keeps of the shared error since the row before, how much of a surprise is taken for it, and a surprise's deviation as a
 * part of `wholeMm`. Surprises of rows so filtered are free of each other: least squares of them is generalised least squares.
 */
export interface Foretelling {
  readonly keep: Float64Array;
  readonly gain: Float64Array;
  readonly deviation: Float64Array;
}

/** `hours` of the rows, rising; `extra` is variance of a single row besides, as a part of the whole. */
export function foretelling(
  { shared, hours: fade }: Omit<GaugeError, 'wholeMm'>,
  hours: Float64Array,
  extra: Float64Array,
): Foretelling {
  const n = hours.length;
  const [keep, gain, deviation] = [new Float64Array(n), new Float64Array(n), new Float64Array(n)];
  let unsure = shared;
  for (let i = 0; i < n; i++) {
    const k = i === 0 ? 0 : Math.exp(((hours[i - 1] as number) - (hours[i] as number)) / fade);
    unsure = k * k * unsure + shared * (1 - k * k);
    const whole = unsure + 1 - shared + (extra[i] as number);
    keep[i] = k;
    gain[i] = unsure / whole;
    deviation[i] = Math.sqrt(whole);
    unsure *= 1 - (gain[i] as number);
  }
  return { keep, gain, deviation };
}

/** Columns one after another, each row turned into its surprise over its deviation. In place. */
export function surprises({ keep, gain, deviation }: Foretelling, columns: Float64Array): void {
  const n = keep.length;
  for (let at = 0; at < columns.length; at += n) {
    let state = 0;
    for (let i = 0; i < n; i++) {
      const foretold = (keep[i] as number) * state;
      const surprise = (columns[at + i] as number) - foretold;
      state = foretold + (gain[i] as number) * surprise;
      columns[at + i] = surprise / (deviation[i] as number);
    }
  }
}

interface Guess extends GaugeError {
  readonly log: number;
}

/** Where the search begins: the best of these. */
const SHARED = [0.1, 0.5, 0.9, 0.99];
const HOURS = [1, 4, 16, 64];
/** What wanders within minutes is noise of the reading; what stays for days is a leak, or none. */
const LEAST_HOURS = 0.2;
const MOST_HOURS = 96;
/** Steps of the search, in the logit of the share and the logarithm of the hours. */
const FIRST_STEP = 1;
const LAST_STEP = 0.1;

/**
 * The likeliest error of rows `left`, mm, read at `hours`. A part that wanders is believed where it adds more to twice the log likelihood
 * than its two numbers are worth, each the logarithm of the rows (G. Schwarz, 'Estimating the dimension of a model', 1978). `from`: where
 * to begin, from an earlier look at the same gauge.
 */
export function gaugeError(
  left: Float64Array,
  hours: Float64Array,
  extra: Float64Array,
  from?: GaugeError,
): GaugeError {
  const n = left.length;
  const row = new Float64Array(n);
  const guess = (shared: number, fade: number): Guess => {
    const f = foretelling({ shared, hours: fade }, hours, extra);
    row.set(left);
    surprises(f, row);
    let [squares, logs] = [0, 0];
    for (let i = 0; i < n; i++) {
      squares += (row[i] as number) ** 2;
      logs += Math.log(f.deviation[i] as number);
    }
    return { wholeMm: Math.sqrt(squares / n), shared, hours: fade, log: (-n / 2) * Math.log(squares / n) - logs };
  };
  const better = (a: Guess, b: Guess) => (b.log > a.log ? b : a);
  const free = guess(0, 1);
  let best = from && from.shared > 0 ? guess(from.shared, from.hours) : free;
  if (best === free) for (const s of SHARED) for (const h of HOURS) best = better(best, guess(s, h));
  for (let step = FIRST_STEP; best !== free && step > LAST_STEP; ) {
    const logit = Math.log(best.shared / (1 - best.shared));
    const next = [
      [step, 0],
      [-step, 0],
      [0, step],
      [0, -step],
    ]
      .map(([a = 0, b = 0]) => [1 / (1 + Math.exp(-logit - a)), best.hours * Math.exp(b)] as const)
      .filter(([, h]) => h >= LEAST_HOURS && h <= MOST_HOURS)
      .map(([s, h]) => guess(s, h))
      .reduce(better, best);
    if (next === best) step /= 2;
    best = next;
  }
  return 2 * (best.log - free.log) > 2 * Math.log(n) ? best : free;
}

/** Below so many deviations neighbours do not err alike. */
const CHANCE = 4;
const NEIGHBOURS = 4;

/** A quick look whether neighbours may err alike: the first autocorrelations together, each of which is 1/sqrt(rows) wide by chance. */
export function mayErrAlike(z: Float64Array): boolean {
  let [sum, squares] = [0, 0];
  for (let i = 0; i < z.length; i++) {
    const here = z[i] as number;
    squares += here * here;
    for (let k = 1; k <= NEIGHBOURS && k <= i; k++) sum += here * (z[i - k] as number);
  }
  return sum / squares > CHANCE * Math.sqrt(NEIGHBOURS / z.length);
}
