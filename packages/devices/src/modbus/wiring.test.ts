import { describe, expect, it } from 'vitest';
import { readWiring, type Wiring } from './wiring.ts';

const good = () => ({
  format: 1,
  lines: { bus: { over: 'tcp', host: '192.0.2.10' }, wire: { over: 'serial', path: '/dev/serial0' } },
  units: {
    relays: { line: 'bus', number: 1, watchdog: { ms: 1_000 } },
    counters: { line: 'bus', number: 2 },
    gauges: { line: 'wire', number: 5 },
  },
  hoses: {
    h1: {
      arm: { unit: 'relays', coil: 0 },
      pump: { unit: 'relays', coil: 8 },
      counter: { unit: 'counters', address: 0 },
    },
    h2: {
      arm: { unit: 'relays', coil: 1 },
      pump: { unit: 'relays', coil: 8 },
      counter: { unit: 'counters', address: 1 },
    },
  },
  tanks: { t1: { level: { unit: 'gauges', address: 3 } } },
});
type Good = ReturnType<typeof good>;
const problems = (change: (w: Good) => void): string[] => {
  const w = good();
  change(w);
  const read = readWiring(JSON.stringify(w));
  return read.ok ? [] : read.error.map((p) => `${p.code} ${p.at?.field}`);
};

describe('the wiring file', () => {
  it('is read with its defaults', () => {
    const read = readWiring(JSON.stringify(good()));
    const w = read.ok ? read.value : ({} as Wiring);
    expect(w.lines.bus).toMatchObject({ port: 502, pollMs: 100 });
    expect(w.lines.wire).toMatchObject({ baud: 19_200, parity: 'even' });
    expect(w.hoses.h1?.counter).toMatchObject({ table: 'input', bits: 16, order: 'high first' });
  });
  it.each<[string, (w: Good) => void, string[]]>([
    [
      'a hose on a unit without a watchdog',
      (w) => Reflect.deleteProperty(w.units.relays, 'watchdog'),
      ['FW-613 units.relays.watchdog'],
    ],
    ['two hoses on one output', (w) => Object.assign(w.hoses.h2.arm, { coil: 0 }), ['FW-613 hoses.h2.arm']],
    [
      'an output that is also a pump’s',
      (w) => Object.assign(w.hoses.h2.arm, { coil: 8 }),
      ['FW-613 hoses.h2.arm', 'FW-613 hoses.h2.pump'],
    ],
    ['two hoses on one counter', (w) => Object.assign(w.hoses.h2.counter, { address: 0 }), ['FW-613 hoses.h2.counter']],
    ['a hose over two lines', (w) => Object.assign(w.hoses.h1.counter, { unit: 'gauges' }), ['FW-613 hoses.h1']],
    [
      'a watchdog shorter than the polling',
      (w) => Object.assign(w.units.relays.watchdog, { ms: 300 }),
      ['FW-613 units.relays.watchdog.ms'],
    ],
    [
      'two units of one number',
      (w) => Object.assign(w.units.counters, { number: 1 }),
      ['FW-613 units.counters.number'],
    ],
    [
      'a unit number that serial lines do not have',
      (w) => Object.assign(w.units.gauges, { number: 0 }),
      ['FW-613 units.gauges.number'],
    ],
    ['a unit that is not there', (w) => Object.assign(w.tanks.t1.level, { unit: 'other' }), ['FW-612 tanks.t1.level']],
    ['a line that is not there', (w) => Object.assign(w.units.gauges, { line: 'other' }), ['FW-612 units.gauges.line']],
    ['a field that it does not know', (w) => Object.assign(w.hoses.h1, { valve: 1 }), ['FW-611 hoses.h1']],
  ])('refuses %s', (_, change, found) => {
    const all = problems(change);
    for (const f of found) expect(all).toContain(f);
  });
  it('says where text is no JSON', () => {
    const read = readWiring('{"format": 1,');
    expect(!read.ok && read.error[0]).toMatchObject({ code: 'FW-610' });
  });
});
