import type { Reads } from './bus.ts';
import { signedOf, unsignedOf } from './registers.ts';
import { MOST_BITS, MOST_REGISTERS, type Span, spansOf } from './spans.ts';
import type { WiredCounter, WiredGauge, WiredHose, WiredInput, WiredTank, Wiring } from './wiring.ts';

type Table = 'coil' | 'bit' | 'input' | 'holding';

/** What is read of one unit at a time. */
export type Wants = Readonly<Record<Table, readonly Span[]>>;

/** What one unit said. `sentAt`: before the first question, by a clock that never goes back; `readAt`: after the last answer. */
export interface Picture {
  readonly sentAt: number;
  readonly readAt: number;
  isOn(table: 'coil' | 'bit', address: number): boolean;
  registers(table: 'input' | 'holding', address: number, bits: 16 | 32): number[];
}

const outputs = (h: WiredHose) => [h.arm, h.fast, h.pump].filter((o) => o !== undefined);

/** Every output of a unit that the wiring names. */
export const coilsOf = (w: Wiring, unit: string): number[] => [
  ...new Set(
    Object.values(w.hoses)
      .flatMap(outputs)
      .filter((o) => o.unit === unit)
      .map((o) => o.coil),
  ),
];

/** What a turn reads of a unit: outputs, inputs and counters; tanks are read on their own. */
export function wantsOf(w: Wiring, unit: string): Wants {
  const hoses = Object.values(w.hoses);
  const here = <T extends { unit: string }>(points: readonly (T | undefined)[]): T[] =>
    points.filter((p): p is T => p?.unit === unit);
  return wants(
    coilsOf(w, unit),
    here([...hoses.map((h) => h.nozzle), w.eStop, w.mains]).map((i) => i.input),
    here(hoses.map((h) => h.counter)),
  );
}

export function wantsOfTank(tank: WiredTank, unit: string): Wants {
  const gauges = [tank.level, tank.water, tank.temperature, tank.volume];
  return wants(
    [],
    [],
    gauges.filter((g): g is WiredGauge => g?.unit === unit),
  );
}

function wants(coils: number[], inputs: number[], registers: readonly WiredCounter[]): Wants {
  const single = (starts: number[]) => starts.map((start) => ({ start, length: 1 }));
  const of = (table: 'input' | 'holding') =>
    spansOf(
      registers.filter((r) => r.table === table).map((r) => ({ start: r.address, length: r.bits / 16 })),
      MOST_REGISTERS,
    );
  return {
    coil: spansOf(single(coils), MOST_BITS),
    bit: spansOf(single(inputs), MOST_BITS),
    input: of('input'),
    holding: of('holding'),
  };
}

/** Reads all that is wanted, or throws a Doubt. */
export async function takePicture(bus: Reads, unit: number, want: Wants, monotonic: () => number): Promise<Picture> {
  const values = new Map<string, number>();
  const note = (table: Table, start: number, got: readonly (number | boolean)[]) => {
    for (const [i, v] of got.entries()) values.set(`${table}/${start + i}`, Number(v));
  };
  const sentAt = monotonic();
  for (const s of want.bit) note('bit', s.start, await bus.readInputs(unit, s.start, s.length));
  for (const table of ['input', 'holding'] as const)
    for (const s of want[table]) note(table, s.start, await bus.readRegisters(unit, table, s.start, s.length));
  for (const s of want.coil) note('coil', s.start, await bus.readCoils(unit, s.start, s.length));
  const at = (table: Table, address: number): number => {
    const v = values.get(`${table}/${address}`);
    if (v === undefined) throw new RangeError(`${table} ${address} was not read`);
    return v;
  };
  return {
    sentAt,
    readAt: monotonic(),
    isOn: (table, address) => at(table, address) !== 0,
    registers: (table, address, bits) =>
      bits === 16 ? [at(table, address)] : [at(table, address), at(table, address + 1)],
  };
}

export const inputIs = (p: Picture, i: WiredInput): boolean => p.isOn('bit', i.input) === (i.when === 'on');
export const counterOf = (p: Picture, c: WiredCounter): number =>
  unsignedOf(p.registers(c.table, c.address, c.bits), c.order);

/** A gauge's value in its own unit; undefined where the register says that there is no reading. */
export function gaugeOf(p: Picture, g: WiredGauge): number | undefined {
  const registers = p.registers(g.table, g.address, g.bits);
  const raw = g.signed ? signedOf(registers, g.order) : unsignedOf(registers, g.order);
  return g.none.includes(raw) ? undefined : raw * g.scale + g.offset;
}
