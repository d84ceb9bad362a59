import { type AddressInfo, connect, createServer, type Server, type Socket } from 'node:net';
import { ServerTCP } from 'modbus-serial';
import { hosePhysics, pass, shut } from '../../sim/src/hose.ts';
import { randomFrom } from '../../sim/src/random.ts';
import { crc16 } from './crc.ts';

/**
 * A Modbus I/O unit with one hose, in a process of its own: another library's server, the simulated yard's physics, a hardware watchdog. It
 * lives `pace` times as fast as the wall. Told by its parent what hands do; tells how it stands.
 */
export interface UnitSetup {
  readonly pace: number;
  readonly bits: 16 | 32;
  readonly order: 'high first' | 'low first';
  readonly watchdogMs: number;
  /** The register's first reading. */
  readonly raw: number;
  readonly serial: boolean;
}
export type UnitDeed =
  | { readonly do: 'lift' | 'hang' | 'squeeze' | 'restart' | 'look' | 'end' }
  | { readonly do: 'eStop'; readonly on: boolean }
  | { readonly do: 'bump'; readonly pulses: number }
  | { readonly do: 'refuse'; readonly on: boolean };
export interface UnitLook {
  readonly open: boolean;
  readonly coils: readonly boolean[];
  readonly count: number;
  readonly written: number;
  readonly watchdog: number;
  readonly trips: number;
}

const TICK_MS = 4;
const FLOW_UL_PER_MIN = 75_708_236;
/** 100 pulses per US gallon: about 33 pulses a second at 20 gal/min. */
const PULSES_PER_UL = 100 / 3_785_411.784;

async function openUnit(setup: UnitSetup) {
  const { pace, bits, order } = setup;
  const began = performance.now();
  const now = () => (performance.now() - began) * pace;
  const random = randomFrom('unit');
  const hose = hosePhysics(
    {
      id: 'h',
      tanks: [],
      flowUlPerMin: FLOW_UL_PER_MIN,
      pulsesPerUl: PULSES_PER_UL,
      lagMs: 180,
      lagDeviationMs: 25,
      lowShare: 0.2,
    },
    setup.raw,
  );
  const coils = [false, false, false];
  const holding = new Map<number, number>();
  let eStop = false;
  let refuse = false;
  let written = 0;
  let touched = 0;
  let trips = 0;
  let shift = 0;
  let last = now();

  const tick = setInterval(() => {
    const at = now();
    if (coils.some(Boolean) && at - touched > setup.watchdogMs) {
      coils.fill(false);
      trips++;
    }
    if (coils[0] && !eStop) hose.open = true;
    else shut(hose, at, random);
    hose.low = !coils[1];
    for (let t = last; t < at; ) {
      const ms = Math.min(20, at - t);
      t += ms;
      pass(hose, t, ms, !eStop);
    }
    last = at;
  }, TICK_MS);

  const register = (address: number): number => {
    const n = (((hose.count + shift) % 2 ** bits) + 2 ** bits) % 2 ** bits;
    const [high, low] = [Math.floor(n / 65_536), n % 65_536];
    if (address === 0) return bits === 16 || order === 'low first' ? low : high;
    if (address === 1) return order === 'low first' ? high : low;
    if (address === 10) return 1_234;
    if (address === 11) return 65_535;
    if (address === 12) return 65_486;
    throw Object.assign(new Error('no such register'), { modbusErrorCode: 2 });
  };
  const willing =
    <T>(read: (address: number) => T) =>
    (address: number) => {
      if (refuse) throw Object.assign(new Error('busy'), { modbusErrorCode: 6 });
      return read(address);
    };
  const vector = {
    getCoil: willing((a) => coils[a] ?? false),
    getDiscreteInput: willing((a) => [hose.out, !eStop, true][a] ?? false),
    getInputRegister: willing(register),
    getHoldingRegister: (a: number) => holding.get(a) ?? 0,
    setCoil: (a: number, on: boolean) => {
      if (refuse) throw Object.assign(new Error('busy'), { modbusErrorCode: 6 });
      written++;
      coils[a] = on;
      touched = now();
    },
    setRegister: (a: number, v: number) => void holding.set(a, v),
  };
  const tcpPort = await freePort();
  const tcp = new ServerTCP(vector, { host: '127.0.0.1', port: tcpPort, unitID: 1 });
  // A master that hangs up in mid-sentence is no error of the unit.
  tcp.on('error', () => {});
  tcp.on('socketError', () => {});
  await new Promise<void>((done) => tcp.once('initialized', () => done()));
  const gate = setup.serial ? await gateway(tcpPort) : undefined;

  const deeds = (deed: UnitDeed): void => {
    switch (deed.do) {
      case 'lift':
        hose.out = true;
        break;
      case 'hang':
        hose.out = false;
        hose.hand = 0;
        break;
      case 'squeeze':
        hose.hand = 1;
        break;
      case 'eStop':
        eStop = deed.on;
        break;
      case 'bump':
        shift += deed.pulses;
        break;
      case 'refuse':
        refuse = deed.on;
        break;
      case 'restart':
        // As after a power failure: outputs off, counter from 0.
        coils.fill(false);
        shift = -hose.count;
        break;
      default:
        break;
    }
  };
  const look = (): UnitLook => ({
    open: hose.open,
    coils: [...coils],
    count: hose.count,
    written,
    watchdog: holding.get(0) ?? 0,
    trips,
  });
  return {
    port: gate?.port ?? tcpPort,
    deeds,
    look,
    end: () => {
      clearInterval(tick);
      gate?.server.close();
      tcp.close(() => {});
    },
  };
}

/** The library takes no port 0. */
async function freePort(): Promise<number> {
  const server = createServer();
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
  const { port } = server.address() as AddressInfo;
  await new Promise<void>((done) => server.close(() => done()));
  return port;
}

/** A serial line to the same unit: RTU frames on a stream, turned into TCP ones and back. */
async function gateway(tcpPort: number): Promise<{ port: number; server: Server }> {
  const server = createServer((line: Socket) => {
    const unit = connect(tcpPort, '127.0.0.1');
    for (const [a, b] of [
      [line, unit],
      [unit, line],
    ] as const) {
      a.on('error', () => b.destroy());
      a.on('close', () => b.destroy());
    }
    let asked = Buffer.alloc(0);
    let answered = Buffer.alloc(0);
    line.on('data', (bytes) => {
      asked = Buffer.concat([asked, bytes]);
      // Reads of bits and registers and writes of one are all of 8 bytes.
      for (; asked.length >= 8; asked = asked.subarray(8)) {
        const frame = asked.subarray(0, 8);
        if (crc16(frame.subarray(0, 6)) !== frame.readUInt16LE(6)) continue;
        unit.write(Buffer.concat([Buffer.from([0, 1, 0, 0, 0, 6]), frame.subarray(0, 6)]));
      }
    });
    unit.on('data', (bytes) => {
      answered = Buffer.concat([answered, bytes]);
      for (let length = lengthOf(answered); answered.length >= length; length = lengthOf(answered)) {
        const body = answered.subarray(6, length);
        answered = answered.subarray(length);
        const crc = Buffer.alloc(2);
        crc.writeUInt16LE(crc16(body));
        line.write(Buffer.concat([body, crc]));
      }
    });
  });
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
  return { port: (server.address() as AddressInfo).port, server };
}
const lengthOf = (frame: Buffer): number => (frame.length < 6 ? Number.POSITIVE_INFINITY : 6 + frame.readUInt16BE(4));

// A message is { id, open: setup } or { id, unit, deed }; the answer has the same id.
const units = new Map<number, Awaited<ReturnType<typeof openUnit>>>();
process.on('message', (m: { id: number; open?: UnitSetup; unit?: number; deed?: UnitDeed }) => {
  const answer = (value: unknown) => process.send?.({ id: m.id, value });
  if (m.open) {
    openUnit(m.open).then((unit) => {
      units.set(m.id, unit);
      answer({ unit: m.id, port: unit.port });
    });
    return;
  }
  const unit = units.get(m.unit ?? -1);
  if (!unit || !m.deed) return;
  if (m.deed.do === 'end') unit.end();
  else unit.deeds(m.deed);
  answer(unit.look());
});
process.on('disconnect', () => process.exit(0));
