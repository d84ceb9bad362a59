import { unitOf } from '@fillwright/core/fleet';
import { pulseRate } from '@fillwright/core/metering';
import { modbusYard, type Opener, type Wiring, withReaders } from '@fillwright/devices';
import type { Logger } from 'pino';
import { z } from 'zod';
import { inFolder, openFolder, readWhole, writeWhole } from './box/files.ts';
import type { Clock } from './clock.ts';
import type { YardMaker } from './runner/run.ts';

export interface WiredOptions {
  readonly wiring: Wiring;
  readonly clock: Clock;
  /** Where it is kept how far each count stands from its register. */
  readonly dataDir: string;
  readonly log: Logger;
  readonly fault: (error: unknown) => void;
  readonly open?: Opener;
}

const FILE = 'counter-offsets.json';
const keptShape = z.record(z.string(), z.int().nonnegative());

/** The yard of a wiring file: hoses and tanks on Modbus units, card readers on lines of their own. */
export function wiredYards(options: WiredOptions): YardMaker {
  const { wiring, clock, dataDir, log, open } = options;
  const offsets = keptIn(dataDir, log);

  return (fleet, site, back) => {
    const here = <T extends { readonly site: string }>(rows: ReadonlyMap<string, T>) =>
      [...rows.values()].filter((r) => r.site === site);
    const hoses = here(fleet.hoses);
    const unit = unitOf(fleet.settings);
    for (const id of unmatched(wiring, {
      hoses: hoses.map((h) => h.id),
      tanks: here(fleet.tanks).map((t) => t.id),
      readers: here(fleet.terminals).map((t) => t.id),
    }))
      log.warn({ code: 'FW-614', found: id }, 'the wiring file and the release tell of different yards');
    const yard = modbusYard({
      wiring,
      clock,
      hoses: hoses.map((h) => ({ id: h.id, mostPer1000s: pulseRate(h.flow, h.pulses, unit) })),
      tanks: here(fleet.tanks).map((t) => t.id),
      counts: back.counts,
      offsets,
      keepOffset(hose, offset) {
        if (offsets[hose] === offset) return;
        offsets[hose] = offset;
        const kept = openFolder(dataDir).ok && writeWhole(inFolder(dataDir, FILE), JSON.stringify(offsets)).ok;
        // Without it, what flows while the box is away is not told of; nothing else depends on it.
        if (!kept) log.error({ hose }, 'the counter’s offset could not be kept');
      },
      fault: options.fault,
      ...(open ? { open } : {}),
    });
    const readers = Object.fromEntries(
      here(fleet.terminals).flatMap((t) => (wiring.readers[t.id] ? [[t.id, wiring.readers[t.id]] as const] : [])),
    ) as Wiring['readers'];
    return {
      port: withReaders(yard, {
        readers,
        clock,
        line: (terminal, up, words) => log[up ? 'info' : 'warn']({ terminal, words }, up ? 'reader' : 'reader away'),
        ...(open ? { open } : {}),
      }),
    };
  };
}

type Parts = Readonly<Record<'hoses' | 'tanks' | 'readers', readonly string[]>>;

/** Hoses that are not wired, and wired parts that the site does not have. Tanks and terminals may go without. */
export function unmatched(wiring: Wiring, fleet: Parts): string[] {
  const missing = fleet.hoses.filter((id) => !wiring.hoses[id]).map((id) => `hoses.${id} is not wired`);
  const strange = (['hoses', 'tanks', 'readers'] as const).flatMap((part) =>
    Object.keys(wiring[part])
      .filter((id) => !fleet[part].includes(id))
      .map((id) => `${part}.${id} is not of this site`),
  );
  return [...missing, ...strange];
}

function keptIn(dataDir: string, log: Logger): Record<string, number> {
  try {
    const text = readWhole(inFolder(dataDir, FILE));
    if (text !== undefined) return keptShape.parse(JSON.parse(text));
  } catch (error) {
    log.error({ error: String(error) }, 'the counters’ offsets cannot be read; they begin anew');
  }
  return {};
}
