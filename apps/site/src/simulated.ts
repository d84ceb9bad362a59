import {
  type Counters,
  demoPin,
  type Place,
  type SimulatedYard,
  simulatedYard,
  type Traffic,
  traffic,
  yardShapeOf,
} from '@fillwright/sim';
import { z } from 'zod';
import { inFolder, openFolder, readWhole, writeWhole } from './box/files.ts';
import { type Clock, every } from './clock.ts';
import type { YardMaker } from './runner/run.ts';

export interface SimulatedOptions {
  readonly clock: Clock;
  readonly seed: string;
  /** Where tanks and counters stand between two runs. */
  readonly dataDir?: string;
  /** Lets people come, from this seed. */
  readonly traffic?: string;
  /** Mean minutes between people by day; they come less at night. */
  readonly everyMin?: number;
  /** Which of the yards this is that share the fleet's people. */
  readonly place?: Place;
  readonly pinOf?: (driver: string) => string;
  /** For a test or a demo that plays with the yard itself. */
  readonly made?: (yard: SimulatedYard) => void;
}

const keptShape = z.strictObject({
  /** When it was kept, by the yard's clock, ms UTC. */
  at: z.number().default(0),
  counts: z.record(z.string(), z.int()),
  volumes: z.record(z.string(), z.number()),
  temps: z.record(z.string(), z.number()).default({}),
  counters: z
    .strictObject({
      at: z.number(),
      values: z.record(z.string(), z.number()),
      filled: z.record(z.string(), z.number()).optional(),
      uses: z.record(z.string(), z.number()).optional(),
    })
    .optional(),
});
const SAVE_MS = 60_000;

/** A yard in this computer. What flowed out of its tanks stays out of them, also over a restart. */
export function simulatedYards(options: SimulatedOptions): YardMaker {
  const { clock, dataDir } = options;
  let kept = keptIn(dataDir);

  return (fleet, site, back) => {
    const counts = { ...kept.counts };
    // A counter never falls, also when the box fell over before this was saved.
    for (const [hose, count] of Object.entries(back.counts)) counts[hose] = Math.max(count, counts[hose] ?? 0);
    const yard = simulatedYard(yardShapeOf(fleet, site), {
      clock,
      seed: options.seed,
      counts,
      volumes: kept.volumes,
      temps: kept.temps,
    });
    const save = () => {
      const look = yard.look();
      kept = {
        ...kept,
        at: clock.now(),
        counts: { ...kept.counts, ...of(look.hoses, (h) => h.count) },
        volumes: { ...kept.volumes, ...of(look.tanks, (t) => Math.round(t.ul)) },
        temps: { ...kept.temps, ...of(look.tanks, (t) => t.tempC) },
      };
      if (dataDir !== undefined && openFolder(dataDir).ok) writeWhole(inFolder(dataDir, FILE), JSON.stringify(kept));
    };
    const stopSaving = every(clock, SAVE_MS, save);
    let people: Traffic | undefined;
    if (options.traffic !== undefined)
      people = traffic({
        clock,
        seed: options.traffic,
        ...(options.everyMin === undefined ? {} : { everyMin: options.everyMin }),
        ...(options.place ? { place: options.place } : {}),
        ...(kept.counters ? { counters: kept.counters } : {}),
        fleet,
        site,
        yard,
        pinOf: options.pinOf ?? demoPin,
        answer: back.answer,
      });
    options.made?.(yard);
    const port = {
      ...yard,
      close() {
        people?.stop();
        stopSaving();
        save();
        return yard.close();
      },
    };
    return {
      port,
      hands: yard,
      ...(people ? { see: (terminal, seen) => people.see(terminal, seen) } : {}),
    };
  };
}

const FILE = 'simulated-yard.json';

function keptIn(dataDir: string | undefined): z.infer<typeof keptShape> {
  try {
    const text = dataDir === undefined ? undefined : readWhole(inFolder(dataDir, FILE));
    if (text !== undefined) return keptShape.parse(JSON.parse(text));
  } catch {
    // A simulated yard that cannot be read begins anew.
  }
  return { at: 0, counts: {}, volumes: {}, temps: {} };
}

/** How far the clock of the yard in this folder had come when it was last kept, ms UTC; 0 for a new one. */
export const yardStood = (dataDir: string): number => keptIn(dataDir).at;

/** Says, before a simulated yard first opens in this folder, what its tanks hold, how warm that is, and where the vehicles' counters stand. */
export function keepYard(
  dataDir: string,
  tanks: Readonly<Record<string, { ul: number; tempC: number }>>,
  counters: Counters,
): boolean {
  if (!openFolder(dataDir).ok) return false;
  const [volumes, temps] = [of(tanks, (t) => t.ul), of(tanks, (t) => t.tempC)];
  writeWhole(inFolder(dataDir, FILE), JSON.stringify({ counts: {}, volumes, temps, counters }));
  return true;
}

const of = <T, U>(record: Readonly<Record<string, T>>, pick: (value: T) => U): Record<string, U> =>
  Object.fromEntries(Object.entries(record).map(([id, value]) => [id, pick(value)]));
