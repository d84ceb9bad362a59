import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import { z } from 'zod';
import { lineReader, place } from '../line-reader/wiring.ts';

/** How a yard's hoses, tanks and readers are wired to Modbus units: a file on the box, because it says what an electrician did. */

const HABIT = 'Common practice, no source.';
const words = <T extends z.ZodType>(schema: T, text: string): T => schema.describe(text) as T;

const address = words(z.int().min(0).max(65_535), 'As on the wire, from 0: often one less than the unit’s paper says.');
const unitName = words(z.string().min(1).max(40), 'A unit of this file.');

const output = words(z.strictObject({ unit: unitName, coil: address }), 'An output of a unit.');
const input = words(
  z.strictObject({
    unit: unitName,
    input: address,
    when: words(z.enum(['on', 'off']), 'Whether it is so when the input is on or when it is off.').default('on'),
  }),
  'A discrete input of a unit.',
);
const register = {
  unit: unitName,
  table: words(z.enum(['input', 'holding']), 'Which registers: input (read only) or holding.').default('input'),
  address,
  bits: words(z.union([z.literal(16), z.literal(32)]), 'One register or two.').default(16),
  order: words(
    z.enum(['high first', 'low first']),
    'Of two registers, which comes first. The standard leaves it open: try it.',
  ).default('high first'),
};
const counter = words(z.strictObject(register), 'A counter of pulses that starts again from 0 after its last number.');
const gauge = (unit: string) =>
  words(
    z.strictObject({
      ...register,
      signed: words(z.boolean(), 'Whether the number may be below zero.').default(false),
      scale: words(
        z.number().refine((n) => n !== 0, 'not 0'),
        `${unit} for each step of the register.`,
      ).default(1),
      offset: words(z.number(), `${unit} at 0.`).default(0),
      none: words(z.array(z.int()).max(8), 'Register values by which the gauge says that it has no reading.').default(
        [],
      ),
    }),
    `A gauge: register times scale plus offset is ${unit}.`,
  );

const timeoutMs = words(z.int().min(20).max(10_000), 'How long one answer may take.');
const pollMs = words(z.int().min(10).max(5_000), 'How often its units are read.');
const line = words(
  z.discriminatedUnion('over', [
    z.strictObject({
      over: z.literal('tcp'),
      ...place.tcp,
      port: place.tcp.port.default(502),
      timeoutMs: timeoutMs.default(500),
      pollMs: pollMs.default(100),
    }),
    z.strictObject({
      over: z.literal('serial'),
      ...place.serial,
      baud: place.serial.baud.default(19_200),
      parity: place.serial.parity.default('even'),
      timeoutMs: timeoutMs.default(500),
      pollMs: pollMs.default(250),
    }),
  ]),
  'A line to units: Modbus TCP, or Modbus RTU over a serial port (19,200 baud, even parity: MODBUS over Serial Line 1.02).',
);

const unit = words(
  z.strictObject({
    line: words(z.string().min(1).max(40), 'A line of this file.'),
    number: words(z.int().min(0).max(255), 'Unit number: 1 to 247 on a serial line.').default(1),
    watchdog: words(
      z.strictObject({
        ms: words(z.int().min(200).max(10_000), 'The unit opens its outputs when it was not written to for so long.'),
        set: words(
          z.array(z.strictObject({ address, value: z.int().min(0).max(65_535) })).max(8),
          'Holding registers to write at each connection so that the watchdog runs, where the unit keeps it there.',
        ).default([]),
      }),
      'Must be given for a unit whose outputs open hoses: a dead box or a cut line then closes them.',
    ).optional(),
  }),
  'A unit with inputs, outputs, counters or gauges.',
);

const hose = words(
  z.strictObject({
    arm: words(output, 'The output that lets fuel flow.'),
    fast: words(output, 'An output for full flow: on while armed, off for low flow before the end.').optional(),
    pump: words(output, 'An output that asks for the pump; hoses of one pump may share it.').optional(),
    nozzle: words(input, 'On when the nozzle is out of its boot.').optional(),
    counter,
  }),
  'A hose, by its id in the fleet.',
);
const tank = words(
  z.strictObject({
    level: gauge('millimetres of fuel').optional(),
    water: gauge('millimetres of water').optional(),
    temperature: gauge('degrees Celsius').optional(),
    volume: gauge('litres of fuel').optional(),
    everyMs: words(z.int().min(1_000).max(600_000), `How often it is read. 10 s: ${HABIT}`).default(10_000),
  }),
  'A tank, by its id in the fleet.',
);

const named = <T extends z.ZodType>(of: T) => z.record(z.string().min(1).max(100), of);

export const wiring = z.strictObject({
  format: z.literal(1),
  lines: named(line).default({}),
  units: named(unit).default({}),
  hoses: named(hose).default({}),
  tanks: named(tank).default({}),
  eStop: words(input, 'When the emergency stop is pressed. Wire it so that a broken wire reads as pressed.').optional(),
  mains: words(input, 'When the yard has mains.').optional(),
  readers: words(named(lineReader), 'Card readers on lines of their own, by the terminal’s id in the fleet.').default(
    {},
  ),
});

export type Wiring = z.infer<typeof wiring>;
export type WiredHose = z.infer<typeof hose>;
export type WiredTank = z.infer<typeof tank>;
export type WiredUnit = z.infer<typeof unit>;
export type WiredGauge = z.infer<ReturnType<typeof gauge>>;
export type WiredInput = z.infer<typeof input>;
export type WiredCounter = z.infer<typeof counter>;

/** Reads a wiring file. FW-610 it is no JSON, FW-611 a field is wrong, FW-612 a name leads nowhere, FW-613 the wiring would not be safe. */
export function readWiring(text: string): Result<Wiring, readonly Problem[]> {
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch (error) {
    return err([problem('FW-610', { found: error instanceof Error ? error.message : String(error) })]);
  }
  const read = wiring.safeParse(json);
  if (!read.success)
    return err(
      read.error.issues.map((i) =>
        problem('FW-611', { at: { in: 'wiring', field: i.path.join('.') }, found: i.message }),
      ),
    );
  const wrong = [...looseEnds(read.data), ...unsafe(read.data)];
  return wrong.length > 0 ? err(wrong) : ok(read.data);
}

interface Point {
  readonly at: string;
  readonly unit: string;
}

/** Every point of the file with its place. */
function pointsOf(w: Wiring): Point[] {
  const points: Point[] = [];
  const add = (at: string, point: { readonly unit: string } | undefined) =>
    point && points.push({ at, unit: point.unit });
  for (const [id, h] of Object.entries(w.hoses))
    for (const key of ['arm', 'fast', 'pump', 'nozzle', 'counter'] as const) add(`hoses.${id}.${key}`, h[key]);
  for (const [id, t] of Object.entries(w.tanks))
    for (const key of ['level', 'water', 'temperature', 'volume'] as const) add(`tanks.${id}.${key}`, t[key]);
  add('eStop', w.eStop);
  add('mains', w.mains);
  return points;
}

function looseEnds(w: Wiring): Problem[] {
  const no = (field: string, found: string, known: object) =>
    problem('FW-612', { at: { in: 'wiring', field }, found, expected: Object.keys(known).join(', ') });
  return [
    ...Object.entries(w.units)
      .filter(([, u]) => w.lines[u.line] === undefined)
      .map(([id, u]) => no(`units.${id}.line`, u.line, w.lines)),
    ...pointsOf(w)
      .filter((p) => w.units[p.unit] === undefined)
      .map((p) => no(p.at, p.unit, w.units)),
  ];
}

function unsafe(w: Wiring): Problem[] {
  const wrong: Problem[] = [];
  const say = (field: string, cause: string) => wrong.push(problem('FW-613', { at: { in: 'wiring', field }, cause }));
  const outputs = new Map<string, string>();
  const counters = new Map<string, string>();
  for (const [id, h] of Object.entries(w.hoses)) {
    const lines = new Set(
      [h.arm, h.fast, h.pump, h.nozzle, h.counter].flatMap((p) => (p ? [w.units[p.unit]?.line] : [])),
    );
    if (lines.size > 1)
      say(`hoses.${id}`, 'The points of one hose are on more than one line, so that one turn cannot see it whole.');
    for (const key of ['arm', 'fast', 'pump'] as const) {
      const point = h[key];
      if (!point) continue;
      if (w.units[point.unit] && !w.units[point.unit]?.watchdog)
        say(
          `units.${point.unit}.watchdog`,
          `The unit opens hose ${id} and has no watchdog: a dead box would leave it open.`,
        );
      const place = `${w.units[point.unit]?.line}/${w.units[point.unit]?.number}/${point.coil}`;
      const taken = outputs.get(place);
      if (taken !== undefined && !(key === 'pump' && taken === 'pump'))
        say(`hoses.${id}.${key}`, 'Another hose has the same output.');
      outputs.set(place, key === 'pump' ? 'pump' : id);
    }
    const at = h.counter;
    const place = `${w.units[at.unit]?.line}/${w.units[at.unit]?.number}/${at.table}/${at.address}`;
    if (counters.has(place)) say(`hoses.${id}.counter`, `Hose ${counters.get(place)} has the same counter.`);
    counters.set(place, id);
  }
  for (const [id, u] of Object.entries(w.units)) {
    const on = w.lines[u.line];
    if (on?.over === 'serial' && (u.number < 1 || u.number > 247))
      say(`units.${id}.number`, 'On a serial line a unit has a number from 1 to 247.');
    if (u.watchdog && on && u.watchdog.ms < 4 * on.pollMs)
      say(
        `units.${id}.watchdog.ms`,
        'The watchdog is shorter than four turns of its line: it would close hoses that are well.',
      );
  }
  const same = new Map<string, string>();
  for (const [id, u] of Object.entries(w.units)) {
    const place = `${u.line}/${u.number}`;
    if (same.has(place)) say(`units.${id}.number`, `Unit ${same.get(place)} has the same number on the same line.`);
    same.set(place, id);
  }
  return wrong;
}
