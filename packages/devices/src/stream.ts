import { connect } from 'node:net';
import type { Duplex } from 'node:stream';
import { SerialPort } from 'serialport';

/** Where bytes go to and come from. */
export type Reach =
  | { readonly over: 'tcp'; readonly host: string; readonly port: number }
  | {
      readonly over: 'serial';
      readonly path: string;
      readonly baud: number;
      readonly parity: 'none' | 'even' | 'odd';
      readonly stopBits: 1 | 2;
    };

/** Opens a stream of bytes; rejects when it cannot within `timeoutMs`. A test gives one of its own. */
export type Opener = (reach: Reach, timeoutMs: number) => Promise<Duplex>;

export const openStream: Opener = (reach, timeoutMs) => (reach.over === 'tcp' ? tcp(reach, timeoutMs) : serial(reach));

function tcp(reach: Extract<Reach, { over: 'tcp' }>, timeoutMs: number): Promise<Duplex> {
  return new Promise((done, failed) => {
    const socket = connect({ host: reach.host, port: reach.port, noDelay: true, keepAlive: true });
    const late = setTimeout(() => socket.destroy(new Error('no connection in time')), timeoutMs);
    socket.once('connect', () => {
      clearTimeout(late);
      socket.off('error', failed);
      done(socket);
    });
    socket.once('error', (error) => {
      clearTimeout(late);
      failed(error);
    });
  });
}

function serial(reach: Extract<Reach, { over: 'serial' }>): Promise<Duplex> {
  return new Promise((done, failed) => {
    const { path, baud: baudRate, parity, stopBits } = reach;
    // What another program leaves in the port is not ours; two masters on one line would be worse than none.
    const port = new SerialPort({ path, baudRate, parity, stopBits, dataBits: 8, lock: true, autoOpen: false });
    port.open((error) => (error ? failed(error) : done(port)));
  });
}

export const nameOf = (reach: Reach): string => (reach.over === 'tcp' ? `${reach.host}:${reach.port}` : reach.path);
