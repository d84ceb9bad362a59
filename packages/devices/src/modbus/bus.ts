import type { Socket } from 'node:net';
import type { Duplex } from 'node:stream';
import { ModbusRTUClient, ModbusTCPClient } from 'jsmodbus';
import { nameOf, type Opener, type Reach } from '../stream.ts';

/** Why a unit cannot be believed now, in words for a person. */
export class Doubt extends Error {}

/** What may be read of units; whoever holds only this cannot write. */
export interface Reads {
  readInputs(unit: number, start: number, count: number): Promise<boolean[]>;
  readCoils(unit: number, start: number, count: number): Promise<boolean[]>;
  readRegisters(unit: number, table: 'input' | 'holding', start: number, count: number): Promise<number[]>;
  close(): void;
}
export interface Bus extends Reads {
  writeCoil(unit: number, coil: number, on: boolean): Promise<void>;
  writeRegister(unit: number, address: number, value: number): Promise<void>;
}

type Client = ModbusTCPClient | ModbusRTUClient;
type Answer<Body> = Promise<{ readonly response: { readonly body: Body } }>;
type Bits = { readonly numberOfBytes: number; readonly valuesAsArray: ArrayLike<unknown> };
type Registers = { readonly valuesAsArray: ArrayLike<number> };
/** What both clients of the library answer alike. */
interface Questions {
  readDiscreteInputs(start: number, count: number): Answer<Bits>;
  readCoils(start: number, count: number): Answer<Bits>;
  readInputRegisters(start: number, count: number): Answer<Registers>;
  readHoldingRegisters(start: number, count: number): Answer<Registers>;
  writeSingleCoil(coil: number, on: boolean): Answer<{ readonly address: number; readonly value: boolean }>;
  writeSingleRegister(address: number, value: number): Answer<{ readonly address: number; readonly value: number }>;
}
interface Live {
  readonly stream: Duplex;
  readonly clients: Map<number, Client>;
}

/**
 * One line, one question at a time. Any answer that is late, garbled or not the one that was asked for is a `Doubt`, and the stream is
 * thrown away and opened anew: on a serial line nothing tells a late answer from the answer to the next question.
 */
export function openBus(reach: Reach, timeoutMs: number, open: Opener): Bus {
  let live: Promise<Live> | undefined;
  let last: Promise<unknown> = Promise.resolve();
  let closed = false;

  function hangUp(): void {
    const old = live;
    live = undefined;
    old?.then(({ stream }) => stream.destroy()).catch(() => {});
  }

  function dial(): Promise<Live> {
    const opening = open(reach, timeoutMs).then((stream): Live => {
      stream.setMaxListeners(0);
      const gone = () => {
        if (live === opening) live = undefined;
      };
      stream.on('error', gone);
      stream.on('close', gone);
      return { stream, clients: new Map() };
    });
    live = opening;
    return opening;
  }

  function clientOf({ stream, clients }: Live, unit: number): Client {
    const known = clients.get(unit);
    if (known) return known;
    const client = reach.over === 'tcp' ? overTcp(stream, unit, timeoutMs) : overSerial(stream, unit, timeoutMs);
    clients.set(unit, client);
    return client;
  }

  function ask<T>(unit: number, question: (client: Questions) => Promise<T>): Promise<T> {
    const asked = last.then(async () => {
      if (closed) throw new Doubt('the line is closed');
      try {
        const client = clientOf(await (live ?? dial()), unit);
        return await question(client as unknown as Questions);
      } catch (error) {
        // An exception is a whole answer: the line is well, the unit refuses.
        if (!isException(error)) hangUp();
        throw new Doubt(`${nameOf(reach)}, unit ${unit}: ${wordsOf(error)}`);
      }
    });
    last = asked.catch(() => {});
    return asked;
  }

  const bits = (body: Bits, count: number): boolean[] => {
    mustBe(body.numberOfBytes, Math.ceil(count / 8));
    return Array.from(body.valuesAsArray, Boolean).slice(0, count);
  };

  return {
    readInputs: (unit, start, count) =>
      ask(unit, async (c) => {
        return bits((await c.readDiscreteInputs(start, count)).response.body, count);
      }),
    readCoils: (unit, start, count) =>
      ask(unit, async (c) => {
        return bits((await c.readCoils(start, count)).response.body, count);
      }),
    readRegisters: (unit, table, start, count) =>
      ask(unit, async (c) => {
        const { body } = (
          table === 'input' ? await c.readInputRegisters(start, count) : await c.readHoldingRegisters(start, count)
        ).response;
        const values = Array.from(body.valuesAsArray);
        mustBe(values.length, count);
        return values;
      }),
    writeCoil: (unit, coil, on) =>
      ask(unit, async (c) => {
        const { body } = (await c.writeSingleCoil(coil, on)).response;
        mustBe(body.address, coil);
        mustBe(body.value, on);
      }),
    writeRegister: (unit, address, value) =>
      ask(unit, async (c) => {
        const { body } = (await c.writeSingleRegister(address, value)).response;
        mustBe(body.address, address);
        mustBe(body.value, value);
      }),
    close() {
      closed = true;
      hangUp();
    },
  };
}

function mustBe<T>(found: T, expected: T): void {
  if (found !== expected)
    throw new Doubt(`the answer tells of ${String(found)} where ${String(expected)} was asked for`);
}

function overTcp(stream: Duplex, unit: number, timeoutMs: number): Client {
  const client = new ModbusTCPClient(stream as Socket, unit, timeoutMs);
  // The library goes online on this event, which has passed by now.
  stream.emit('connect');
  return client;
}

function overSerial(stream: Duplex, unit: number, timeoutMs: number): Client {
  // The library looks at `isOpen` as of a serial port; any open stream will do.
  if (!('isOpen' in stream)) Object.defineProperty(stream, 'isOpen', { value: true });
  return new ModbusRTUClient(stream as ConstructorParameters<typeof ModbusRTUClient>[0], unit, timeoutMs);
}

const WORDS: Readonly<Record<string, string>> = {
  Timeout: 'no answer in time',
  OutOfSync: 'an answer to another question',
  Offline: 'the connection broke',
  Protocol: 'an answer that is no Modbus',
  crcMismatch: 'a garbled answer',
};
const kindOf = (error: unknown): string | undefined =>
  typeof error === 'object' && error !== null && 'err' in error ? String(error.err) : undefined;
const isException = (error: unknown): boolean => kindOf(error) === 'ModbusException';

function wordsOf(error: unknown): string {
  const kind = kindOf(error);
  const message =
    error instanceof Error ? error.message : String((error as { message?: unknown } | null)?.message ?? error);
  if (kind === 'ModbusException') return `the unit refuses: ${message.replace(/^ModbusException: /, '')}`;
  return (kind !== undefined && WORDS[kind]) || message;
}
