import { type Opener, openStream } from '../stream.ts';
import { openBus, type Reads } from './bus.ts';
import { counterOf, gaugeOf, inputIs, type Picture, takePicture, type Wants, wantsOf, wantsOfTank } from './picture.ts';
import type { Wiring } from './wiring.ts';

/** One point of the wiring as it reads now. */
export interface Probed {
  readonly unit: string;
  /** Such as 'hoses.h1.counter'. */
  readonly point: string;
  /** In words, with its unit. Absent where the unit did not answer. */
  readonly value?: string;
  readonly problem?: string;
}

interface Point {
  readonly unit: string;
  readonly point: string;
  read(p: Picture): string;
}

/**
 * Reads everything that the wiring names once. It holds no way to write: outputs are read back, never set, and no watchdog is touched.
 * A unit that does not answer gives one row with its problem for each of its points.
 */
export async function probe(wiring: Wiring, monotonic: () => number, open: Opener = openStream): Promise<Probed[]> {
  const points = pointsOf(wiring);
  const rows = await Promise.all(
    Object.entries(wiring.lines).map(async ([line, reach]) => {
      const bus: Reads = openBus(reach, reach.timeoutMs, open);
      try {
        const found: Probed[] = [];
        for (const [name, unit] of Object.entries(wiring.units))
          if (unit.line === line)
            found.push(...(await probeUnit(bus, name, unit.number, points, wantsAll(wiring, name), monotonic)));
        return found;
      } finally {
        bus.close();
      }
    }),
  );
  return rows.flat();
}

async function probeUnit(
  bus: Reads,
  name: string,
  number: number,
  points: readonly Point[],
  wants: readonly Wants[],
  monotonic: () => number,
): Promise<Probed[]> {
  const mine = points.filter((p) => p.unit === name);
  const rows: Probed[] = [];
  const pictures: Picture[] = [];
  let words = '';
  for (const want of wants) {
    try {
      pictures.push(await takePicture(bus, number, want, monotonic));
    } catch (error) {
      words = error instanceof Error ? error.message : String(error);
    }
  }
  for (const p of mine) {
    const value = pictures.map((picture) => tried(() => p.read(picture))).find((v) => v !== undefined);
    rows.push({ unit: name, point: p.point, ...(value === undefined ? { problem: words } : { value }) });
  }
  return rows;
}

/** Kind by kind, so that one wrong address does not hide the rest. */
function wantsAll(w: Wiring, unit: string): Wants[] {
  const none: Wants = { coil: [], bit: [], input: [], holding: [] };
  const all = [wantsOf(w, unit), ...Object.values(w.tanks).map((t) => wantsOfTank(t, unit))];
  return all.flatMap((want) =>
    (['coil', 'bit', 'input', 'holding'] as const).flatMap((table) =>
      want[table].map((span) => ({ ...none, [table]: [span] })),
    ),
  );
}

function tried(read: () => string): string | undefined {
  try {
    return read();
  } catch (error) {
    if (error instanceof RangeError) return undefined;
    throw error;
  }
}

function pointsOf(w: Wiring): Point[] {
  const points: Point[] = [];
  const onOff = (on: boolean) => (on ? 'on' : 'off');
  for (const [id, h] of Object.entries(w.hoses)) {
    for (const key of ['arm', 'fast', 'pump'] as const) {
      const o = h[key];
      if (o) points.push({ unit: o.unit, point: `hoses.${id}.${key}`, read: (p) => onOff(p.isOn('coil', o.coil)) });
    }
    const { nozzle, counter } = h;
    if (nozzle)
      points.push({
        unit: nozzle.unit,
        point: `hoses.${id}.nozzle`,
        read: (p) => (inputIs(p, nozzle) ? 'nozzle out' : 'nozzle in its boot'),
      });
    points.push({
      unit: counter.unit,
      point: `hoses.${id}.counter`,
      read: (p) => `${counterOf(p, counter)} pulses`,
    });
  }
  const units = { level: 'mm', water: 'mm of water', temperature: '°C', volume: 'l' } as const;
  for (const [id, t] of Object.entries(w.tanks))
    for (const key of ['level', 'water', 'temperature', 'volume'] as const) {
      const g = t[key];
      if (!g) continue;
      points.push({
        unit: g.unit,
        point: `tanks.${id}.${key}`,
        read: (p) => {
          const v = gaugeOf(p, g);
          return v === undefined ? 'no reading' : `${Math.round(v * 1000) / 1000} ${units[key]}`;
        },
      });
    }
  const { eStop, mains } = w;
  if (eStop)
    points.push({ unit: eStop.unit, point: 'eStop', read: (p) => (inputIs(p, eStop) ? 'PRESSED' : 'not pressed') });
  if (mains)
    points.push({ unit: mains.unit, point: 'mains', read: (p) => (inputIs(p, mains) ? 'there' : 'NOT THERE') });
  return points;
}
