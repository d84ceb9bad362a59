import type { Fill } from '@fillwright/wire';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { fleetOf, smallFleet } from '../testing/office.ts';
import { asText, fillsCsv } from './export-fills.ts';
import { shares } from './fill-of.ts';

const fill: Fill = {
  id: 'north.1.1',
  site: 'north',
  hose: 'h1',
  hoseNumber: 1,
  product: 'diesel',
  driver: 'd1',
  driverName: '=HYPERLINK("x")',
  vehicle: 'v1',
  vehicleName: '@a, "b"',
  costCentre: 'roads',
  revision: 1,
  startedAt: Date.UTC(2026, 5, 1, 12),
  endedAt: null,
  pulses: 1000,
  volume: 37_854_118,
  limit: 300_000_000,
  overrun: 0,
  price: 40_000,
  amount: 400_000,
  state: 'open',
  stopReason: null,
  proving: null,
};

test('a cell of the export never begins a formula, and quotes hold', () => {
  const csv = fillsCsv(fleetOf(smallFleet()), [fill]);
  expect(csv).toContain(`"'=HYPERLINK(""x"")"`);
  expect(csv).toContain(`"'@a, ""b"""`);
  // Denver is six hours behind UTC in June.
  expect(csv).toContain('2026-06-01 06:00');
  expect(csv).toContain('10.000');
  fc.assert(fc.property(fc.string(), (text) => !/^[=+\-@\t\r]/.test(asText(text))));
});

test('what a manifold gave is split without a remainder', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 0, max: 1_000_000_000_000 }),
      fc.array(fc.integer({ min: 0, max: 100_000_000_000 }), { minLength: 1, maxLength: 5 }),
      (volume, capacities) => {
        const tanks = capacities.map((_, i) => `t${i}`);
        const parts = [...shares(volume, tanks, (t) => capacities[Number(t.slice(1))] ?? 0).values()];
        expect(parts.reduce((sum, p) => sum + p, 0)).toBe(volume);
        expect(parts.every((p) => p >= 0)).toBe(true);
      },
    ),
  );
});
