import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { TankEnd } from './tank-end.ts';
import { capacityLitres, deepestMm, LITRES_PER_GALLON, litresAt, MM_PER_INCH, type TankShape } from './tank-shape.ts';

// Check values: computed with an independent program by numerical integration (30 digits for closed shapes, 15 for dished ends).

const inch = (n: number): number => n * MM_PER_INCH;
const flat: TankEnd = { kind: 'flat' };

function lying(diameterIn: number, lengthIn: number, end: TankEnd = flat): TankShape {
  return { kind: 'lying cylinder', diameterMm: inch(diameterIn), lengthMm: inch(lengthIn), near: end, far: end };
}

function litres(shape: TankShape, dipMm: number): number {
  const result = litresAt(shape, dipMm);
  if (result.ok) return result.value;
  throw new Error(`${result.error.code} ${result.error.at?.field} ${result.error.found}`);
}
const gallons = (shape: TankShape, dipIn: number): number => litres(shape, inch(dipIn)) / LITRES_PER_GALLON;
const code = (shape: TankShape, dipMm: number): string => {
  const result = litresAt(shape, dipMm);
  return result.ok ? 'ok' : result.error.code;
};

/** The value agrees to as many significant digits as the check value has been given. */
function agrees(found: number, expected: number, digits: number): void {
  expect(Math.abs(found - expected)).toBeLessThan(10 ** (Math.floor(Math.log10(expected)) + 1 - digits) * 0.51);
}

describe('a lying cylinder with flat ends', () => {
  it.each([
    [0.5, 6.34840683],
    [1, 17.9278271],
    [1.5, 32.8836561],
    [6, 259.2991444],
    [12, 718.8935702],
    [24, 1948.034813],
    [36, 3412.965736],
    [48, 4982.15795],
    [60, 6551.350163],
    [72, 8016.281086],
    [84, 9245.422329],
    [90, 9705.016755],
    [95, 9946.388072],
    [96, 9964.315899],
  ])('96 x 318 in at %d in holds %d gal', (dip, expected) => {
    agrees(gallons(lying(96, 318), dip), expected, 9);
  });

  it('an eighth of an inch at mid-height is 16.51948 gal', () => {
    const tank = lying(96, 318);
    expect(gallons(tank, 48 + 1 / 16) - gallons(tank, 48 - 1 / 16)).toBeCloseTo(16.51948, 3);
  });

  it('other sizes', () => {
    const full: [number, number, number][] = [
      [96, 324, 10152.32186],
      [96, 384, 12032.38146],
      [120, 246, 12044.13184],
      [126, 372, 20079.91784],
      [48, 128, 1002.698455],
      [64, 73, 1016.624823],
    ];
    for (const [d, l, expected] of full) {
      agrees(gallons(lying(d, l), d), expected, 9);
      agrees(capacityLitres(lying(d, l)) / LITRES_PER_GALLON, expected, 9);
      expect(gallons(lying(d, l), d / 2)).toBeCloseTo(expected / 2, 4);
    }
    agrees(gallons(lying(96, 324), 24), 1984.790187, 9);
    const metric: TankShape = { kind: 'lying cylinder', diameterMm: 2500, lengthMm: 10_000, near: flat, far: flat };
    const checks: [number, number][] = [
      [250, 2554.704825],
      [500, 6988.987781],
      [1000, 18335.61292],
      [1250, 24543.69261],
      [2000, 42098.39743],
      [2500, 49087.38521],
    ];
    for (const [dip, expected] of checks) agrees(litres(metric, dip), expected, 9);
  });
});

describe('a lying cylinder with bulging ends', () => {
  it('2:1 elliptical, 96 x 240 in', () => {
    const tank = lying(96, 240, { kind: 'elliptical', depthMm: inch(24) });
    const checks: [number, number][] = [
      [12, 585.6458843],
      [24, 1626.886587],
      [48, 4261.468435],
      [72, 6896.050282],
      [96, 8522.93687],
    ];
    for (const [dip, expected] of checks) agrees(gallons(tank, dip), expected, 9);
  });

  it('hemispherical, 2 x 6 m', () => {
    const end: TankEnd = { kind: 'hemispherical' };
    const tank: TankShape = { kind: 'lying cylinder', diameterMm: 2000, lengthMm: 6000, near: end, far: end };
    const checks: [number, number][] = [
      [500, 4339.607565],
      [1000, 11519.17306],
      [1500, 18698.73856],
      [2000, 23038.34613],
    ];
    for (const [dip, expected] of checks) agrees(litres(tank, dip), expected, 9);
  });

  it('dished, dish radius D and knuckle 0.06 D, 96 x 240 in', () => {
    const tank = lying(96, 240, { kind: 'dished', dishRadiusMm: inch(96), knuckleRadiusMm: inch(5.76) });
    const checks: [number, number, number][] = [
      [12, 567.89554, 8],
      [24, 1563.23475, 9],
      [48, 4070.3475, 8],
      [72, 6577.46024, 9],
      [96, 8140.695, 7],
    ];
    for (const [dip, expected, digits] of checks) agrees(gallons(tank, dip), expected, digits);
    agrees(capacityLitres(tank) / LITRES_PER_GALLON, 8140.695, 7);
  });

  it('dished, dish radius D and knuckle 0.1 D, 2 x 5 m', () => {
    const end: TankEnd = { kind: 'dished', dishRadiusMm: 2000, knuckleRadiusMm: 200 };
    const tank: TankShape = { kind: 'lying cylinder', diameterMm: 2000, lengthMm: 5000, near: end, far: end };
    const checks: [number, number, number][] = [
      [500, 3318.824387, 10],
      [1000, 8645.709595, 10],
      [1500, 13972.5948, 9],
      [2000, 17291.41919, 10],
    ];
    for (const [dip, expected, digits] of checks) agrees(litres(tank, dip), expected, digits);
  });
});

describe('other bodies', () => {
  it('standing, 120 in', () => {
    const tank: TankShape = {
      kind: 'standing cylinder',
      diameterMm: inch(120),
      heightMm: inch(200),
      bottom: flat,
      top: flat,
    };
    agrees(gallons(tank, 50.125), 2454.114261, 9);
    agrees(gallons(tank, 1), 48.95988551, 9);
  });

  it('box, 60 x 120 in', () => {
    const tank: TankShape = { kind: 'box', lengthMm: inch(120), widthMm: inch(60), heightMm: inch(60) };
    agrees(gallons(tank, 37.5), 1168.831169, 9);
    agrees(gallons(tank, 1), 31.16883117, 9);
  });

  it('a standing cylinder holds in its ends what a lying one does, and half a sphere is half a sphere', () => {
    const ends: TankEnd[] = [
      { kind: 'elliptical', depthMm: 400 },
      { kind: 'hemispherical' },
      { kind: 'dished', dishRadiusMm: 2000, knuckleRadiusMm: 120 },
    ];
    for (const end of ends) {
      const standing: TankShape = {
        kind: 'standing cylinder',
        diameterMm: 2000,
        heightMm: 3000,
        bottom: end,
        top: end,
      };
      const lyingOne: TankShape = { kind: 'lying cylinder', diameterMm: 2000, lengthMm: 3000, near: end, far: end };
      expect(litres(standing, deepestMm(standing))).toBeCloseTo(litres(lyingOne, 2000), 5);
      expect(litres(standing, deepestMm(standing) / 2)).toBeCloseTo(litres(lyingOne, 1000), 5);
    }
    const ball: TankShape = {
      kind: 'standing cylinder',
      diameterMm: 2000,
      heightMm: 1,
      bottom: { kind: 'hemispherical' },
      top: { kind: 'hemispherical' },
    };
    // A ball's cap of height h: pi h^2 (3R - h) / 3.
    expect(litres(ball, 300)).toBeCloseTo((Math.PI * 300 ** 2 * (3000 - 300)) / 3 / 1e6, 9);
  });
});

describe('a tilted tank', () => {
  const tilted = (gaugeIn: number): TankShape => ({
    kind: 'lying cylinder',
    diameterMm: inch(96),
    lengthMm: inch(318),
    near: flat,
    far: flat,
    // The near end is the low one, by 3 in.
    tilt: { fallMm: inch(-3), gaugeMm: inch(gaugeIn) },
  });

  it.each([
    [6, 261.17026, 187.431048, 342.370774],
    [24, 1948.63106, 1810.59258, 2089.02652],
    [48, 4982.15795, 4821.3702, 5142.9457],
    [72, 8015.68483, 7875.28938, 8153.72332],
    [90, 9703.14564, 9621.94512, 9776.88485],
  ])('96 x 318 in, 3 in of fall, at %d in', (dip, middle, low, high) => {
    agrees(gallons(tilted(159), dip), middle, 8);
    agrees(gallons(tilted(30), dip), low, 8);
    agrees(gallons(tilted(288), dip), high, 8);
  });

  it('reads what lies in the low end although the gauge is dry', () => {
    // A thin wedge along the bottom, from the leading term of the segment's area: (4/3) sqrt(D) h^1.5, over lengths of 318 in for 3 in.
    const wedge = ((4 / 3) * Math.sqrt(96) * (2 / 5) * 3 ** 2.5 * (318 / 3)) / 231;
    expect(Math.abs(gallons(tilted(318), 0) / wedge - 1)).toBeLessThan(0.01);
    expect(gallons(tilted(0), 0)).toBe(0);
  });

  it('with bulging ends and no fall to speak of it is the level tank', () => {
    const ends: TankEnd[] = [
      { kind: 'elliptical', depthMm: 500 },
      { kind: 'hemispherical' },
      { kind: 'dished', dishRadiusMm: 2000, knuckleRadiusMm: 200 },
    ];
    for (const end of ends)
      for (const dip of [100, 700, 1000, 1900]) {
        const level: TankShape = { kind: 'lying cylinder', diameterMm: 2000, lengthMm: 5000, near: end, far: end };
        const hardly: TankShape = { ...level, tilt: { fallMm: 1e-6, gaugeMm: 2500 } };
        expect(litres(hardly, dip)).toBeCloseTo(litres(level, dip), 4);
      }
  });

  it('a box: the wedge that the far corner holds', () => {
    const tank: TankShape = {
      kind: 'box',
      lengthMm: 2000,
      widthMm: 1000,
      heightMm: 1000,
      tilt: { fallMm: 100, gaugeMm: 0 },
    };
    expect(litres(tank, 0)).toBeCloseTo(100, 9);
    expect(litres(tank, 450)).toBeCloseTo(1000, 9);
    expect(litres(tank, 1000)).toBeCloseTo(2000, 9);
  });
});

describe('every shape', () => {
  const size = fc.double({ min: 500, max: 4000, noNaN: true });
  const share = fc.double({ min: 0, max: 1, noNaN: true });
  const end = fc.oneof(
    fc.constant(flat),
    fc.record({ kind: fc.constant('hemispherical' as const) }),
    fc.record({ kind: fc.constant('elliptical' as const), depthMm: fc.double({ min: 10, max: 400, noNaN: true }) }),
    fc.record({
      kind: fc.constant('dished' as const),
      dishRadiusMm: fc.double({ min: 2000, max: 6000, noNaN: true }),
      knuckleRadiusMm: fc.double({ min: 20, max: 240, noNaN: true }),
    }),
  );
  const shape: fc.Arbitrary<TankShape> = fc.oneof(
    fc
      .record({ d: size, l: size, near: end, far: end, fall: share, gauge: share, tilt: fc.boolean() })
      .map(({ d, l, near, far, fall, gauge, tilt }) => ({
        kind: 'lying cylinder' as const,
        diameterMm: d,
        lengthMm: l,
        near,
        far,
        ...(tilt ? { tilt: { fallMm: ((fall - 0.5) * l) / 10, gaugeMm: gauge * l } } : {}),
      })),
    fc.record({ d: size, h: size, bottom: end, top: end }).map(({ d, h, bottom, top }) => ({
      kind: 'standing cylinder' as const,
      diameterMm: d,
      heightMm: h,
      bottom,
      top,
    })),
  );

  it('holds more the deeper it is, from nothing (when level) to its capacity', () => {
    fc.assert(
      fc.property(shape, share, share, (tank, a, b) => {
        const deepest = deepestMm(tank);
        const [low, high] = [Math.min(a, b) * deepest, Math.max(a, b) * deepest];
        const capacity = capacityLitres(tank);
        expect(litres(tank, high)).toBeGreaterThanOrEqual(litres(tank, low) - 1e-8 * capacity);
        expect(litres(tank, deepest)).toBeLessThanOrEqual(capacity * (1 + 1e-8));
        const level = tank.kind === 'standing cylinder' || !('tilt' in tank);
        if (level) {
          expect(litres(tank, 0)).toBeCloseTo(0, 9);
          expect(Math.abs(litres(tank, deepest) - capacity)).toBeLessThan(1e-7 * capacity);
        }
      }),
      { numRuns: 300, seed: 7 },
    );
  });

  it('refuses dips outside and shapes that cannot be', () => {
    const tank = lying(96, 318);
    for (const dip of [-0.001, inch(96) + 0.001, Number.NaN]) expect(code(tank, dip)).toBe('FW-801');
    const wrong: TankShape[] = [
      lying(0, 318),
      lying(96, Number.NaN),
      lying(96, 318, { kind: 'elliptical', depthMm: 0 }),
      lying(96, 318, { kind: 'dished', dishRadiusMm: inch(40), knuckleRadiusMm: 10 }),
      lying(96, 318, { kind: 'dished', dishRadiusMm: inch(96), knuckleRadiusMm: inch(49) }),
      { kind: 'box', lengthMm: 2000, widthMm: 0, heightMm: 1 },
      { kind: 'box', lengthMm: 2000, widthMm: 10, heightMm: 10, tilt: { fallMm: 101, gaugeMm: 0 } },
      { kind: 'box', lengthMm: 2000, widthMm: 10, heightMm: 10, tilt: { fallMm: 1, gaugeMm: 2001 } },
    ];
    for (const shape of wrong) expect(code(shape, 0)).toBe('FW-201');
  });
});
