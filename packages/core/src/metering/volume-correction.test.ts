import { describe, expect, it } from 'vitest';
import type { Problem, Result } from '../errors/index.ts';
import { apiOfDensity, type Commodity, densityOfApi, densityOfRelative } from './density.ts';
import { biodieselTo60F, ethanolBlendTo60F, fuelEthanolTo60F, specialTo60F } from './other-fuels.ts';
import { scale68 } from './temperature-scale.ts';
import { correctedVolume, correctTo15C, correctTo60F, densityAt60F, roundHalfEven } from './volume-correction.ts';
import { factor6B, factor54B } from './volume-correction-1980.ts';

function value<T>(result: Result<T, Problem>): T {
  if (result.ok) return result.value;
  throw new Error(`${result.error.code} ${result.error.at?.field} ${result.error.found}`);
}
const code = (result: Result<unknown, Problem>): string => (result.ok ? 'ok' : result.error.code);

// API MPMS 11.1-2004, 11.1.6.1, Examples 1 to 6, as printed in the tests of a public library for the standard.
const EXAMPLES: readonly [Commodity, number, number, number, number, number, number, number, number][] = [
  ['crude', densityOfApi(17.785), -27.7, 0, 946.921215770785, 0.000380407044, 1.033011591958, 1, 1.03301],
  ['crude', densityOfApi(-10), 301.93, 1500, 1163.46509372, 0.000251982006, 0.938051116886, 1.006460852301, 0.94411],
  ['refined', densityOfApi(19.4), 48.04, -7.3, 936.787006219757, 0.000406689168, 1.00485806899, 1, 1.00486],
  [
    'refined',
    densityOfRelative(0.7943),
    85,
    247.3,
    793.521270459968,
    0.000524557068,
    0.986832406683,
    1.001646525013,
    0.98846,
  ],
  [
    'refined',
    densityOfApi(48.0015),
    55.9,
    350,
    787.521450184768,
    0.000532585048,
    1.002182725702,
    1.002132930093,
    1.00432,
  ],
  ['refined', 657.3, 27.3, 1234.5, 657.303689061482, 0.00081636213, 1.026475833518, 1.012417396817, 1.03922],
];

describe('correction to 60 °F', () => {
  it('gives the six examples of API MPMS 11.1-2004, 11.1.6.1, to the digits given', () => {
    for (const [commodity, density, tempF, psig, shifted, alpha, ctl, cpl, ctpl] of EXAMPLES) {
      const c = value(correctTo60F(commodity, density, tempF, psig));
      expect(c.densityShifted).toBeCloseTo(shifted, 8);
      expect(c.alpha60).toBeCloseTo(alpha, 12);
      expect(c.ctl).toBeCloseTo(ctl, 11);
      expect(c.cpl).toBeCloseTo(cpl, 11);
      expect(c.rounded).toBe(ctpl);
    }
  });

  it('moves temperatures to the scale of 1968 (computed from the coefficients of API MPMS 11.1.5.3)', () => {
    const checks = [
      [60, 60.006874898],
      [0, -0.007130594],
      [32, 32],
      [100, 100.017344128],
      [212, 212.046164015],
    ] as const;
    for (const [t90, t68] of checks) expect(scale68(t90)).toBeCloseTo(t68, 8);
  });

  it('turns API gravity into density and back (API MPMS 11.1.5.1)', () => {
    expect(densityOfApi(10)).toBeCloseTo(999.016, 9);
    expect(densityOfApi(36)).toBeCloseTo(843.9449, 4);
    expect(apiOfDensity(densityOfApi(34.5))).toBeCloseTo(34.5, 10);
  });

  // Computed by an independent program for the 2004 method and for the form of 1980.
  const everyday = [
    [36, 40, 'fuel oil', 1.0092934, 1.00929, 1.0093],
    [36, 90, 'fuel oil', 0.985963, 0.98596, 0.986],
    [35, 85, 'fuel oil', 0.988402, 0.9884, 0.9884],
    [35, 50, 'fuel oil', 1.004617, 1.00462, 1.0046],
    [34.5, 20, 'fuel oil', 1.0183153, 1.01832, 1.0183],
    [30, 110, 'fuel oil', 0.9776452, 0.97765, 0.9776],
    [38, 75, 'jet', 0.9928598, 0.99286, 0.9929],
    [40, 80, 'jet', 0.9902465, 0.99025, 0.9902],
    [44, 90, 'jet', 0.9846552, 0.98466, 0.9847],
    [50, 70, 'transition', 0.9941248, 0.99412, 0.9941],
    [58, 85, 'gasoline', 0.9830968, 0.9831, 0.9831],
    [60, 90, 'gasoline', 0.9793699, 0.97937, 0.9794],
    [60, 40, 'gasoline', 1.0136151, 1.01362, 1.0136],
    [62, 35, 'gasoline', 1.0172689, 1.01727, 1.0173],
    [65, 100, 'gasoline', 0.9713335, 0.97133, 0.9713],
    [60, 60, 'gasoline', 1, 1, 1],
  ] as const;
  it.each(everyday)('API %d at %d °F is %s: %d', (api, tempF, group, ctl, rounded, printed) => {
    const c = value(correctTo60F('refined', densityOfApi(api), tempF));
    expect(c.group).toBe(group);
    expect(c.ctl).toBeCloseTo(ctl, 7);
    expect(c.rounded).toBe(rounded);
    expect(roundHalfEven(value(factor6B(densityOfApi(api), tempF)), 4)).toBe(printed);
  });

  it('finds the density at 60 °F from one observed warmer or colder (computed by an independent program)', () => {
    const checks = [
      [37.8, 85, 844.834, 35.824],
      [61.5, 78, 741.534, 59.133],
      [34, 42, 847.091, 35.378],
    ] as const;
    for (const [api, tempF, density, api60] of checks) {
      const found = value(densityAt60F('refined', densityOfApi(api), tempF));
      expect(found).toBeCloseTo(density, 3);
      expect(apiOfDensity(found)).toBeCloseTo(api60, 3);
    }
  });

  it('leads from a density at 60 °F to one at any temperature and back', () => {
    for (const density of [620, 700, 769, 780, 800, 838, 850, 1000, 1150])
      for (const tempF of [-50, 20, 60, 110, 250]) {
        const observed = density * value(correctTo60F('refined', density, tempF)).ctl;
        // At the edges of the groups the formulas meet within 0.001 kg/m3.
        expect(value(densityAt60F('refined', observed, tempF))).toBeCloseTo(density, 2);
      }
  });

  it('refuses what is outside its range and never pulls it in', () => {
    for (const [density, tempF, psig] of [
      [610.5, 60, 0],
      [1163.6, 60, 0],
      [850, -58.1, 0],
      [850, 302.1, 0],
      [850, 60, 1500.1],
      [Number.NaN, 60, 0],
      [850, Number.NaN, 0],
      [850, 60, Number.NaN],
    ] as const)
      expect(code(correctTo60F('refined', density, tempF, psig))).toBe('FW-801');
    expect(code(correctTo60F('lube', 700, 60))).toBe('FW-801');
    expect(code(correctTo60F('refined', 850, -58))).toBe('ok');
    expect(code(densityAt60F('refined', 500, 60))).toBe('FW-801');
    expect(code(densityAt60F('refined', Number.NaN, 60))).toBe('FW-801');
  });
});

describe('correction to 15 °C', () => {
  // Computed by an independent program: density at 15 °C, °C, Table 54B's form, the 2004 route, density at 60 °F.
  const checks = [
    [740, 25, 0.9877, 0.987697, 739.496],
    [745, 10, 1.006055, 1.006056, 744.498],
    [750, 30, 0.981893, 0.981887, 749.499],
    [780, 25, 0.989544, 0.9895, 779.546],
    [800, 0, 1.013875, 1.013881, 799.587],
    [820, 30, 0.986686, 0.986679, 819.597],
    [840, 25, 0.991541, 0.99154, 839.606],
    [845, 5, 1.008351, 1.008352, 844.607],
    [850, 35, 0.983304, 0.983302, 849.608],
    [860, 40, 0.979427, 0.979424, 859.609],
  ] as const;
  it.each(checks)('%d kg/m3 at %d °C', (density, tempC, by54B, by2004, density60) => {
    const c = value(correctTo15C('refined', density, tempC));
    expect(c.ctl).toBeCloseTo(by2004, 6);
    expect(c.density60).toBeCloseTo(density60, 3);
    expect(value(factor54B(density, tempC))).toBeCloseTo(by54B, 6);
    expect(Math.abs(c.ctl - by54B)).toBeLessThan(4.5e-5);
  });

  it('by the form of 1980 alone: 720 kg/m3 at -5 °C', () => {
    expect(value(factor54B(720, -5))).toBeCloseTo(1.025348, 6);
  });

  it('the transition of Table 54B meets its neighbours', () => {
    for (const edge of [770.5, 787.5, 838.5]) {
      const below = value(factor54B(edge - 1e-6, 40));
      expect(value(factor54B(edge, 40))).toBeCloseTo(below, 4);
    }
  });

  it('refuses what is outside its range', () => {
    expect(code(correctTo15C('refined', 850, 151))).toBe('FW-801');
    expect(code(correctTo15C('refined', 600, 15))).toBe('FW-801');
    expect(code(factor54B(600, 15))).toBe('FW-801');
    expect(code(factor6B(850, 201))).toBe('FW-801');
  });
});

describe('other fuels', () => {
  it('fuel ethanol and biodiesel by the lines of 40 CFR 80.1426(f)(8) (computed)', () => {
    const ethanol = [40, 60, 85, 100].map((t) => value(fuelEthanolTo60F(t)).factor);
    [1.012596, 0.999994, 0.9842415, 0.97479].forEach((f, i) => {
      expect(ethanol[i]).toBeCloseTo(f, 7);
    });
    expect(value(biodieselTo60F(40)).factor).toBeCloseTo(1.0091535, 7);
    expect(value(biodieselTo60F(85)).factor).toBeCloseTo(0.9885583, 7);
  });

  it('gasoline with a tenth of ethanol by the special application of API MPMS 11.1 (computed)', () => {
    // Computed without the shift of the temperature scale, which moves the factor by less than 0.000005 here.
    for (const [tempF, factor] of [
      [85, 0.982049],
      [40, 1.014224],
    ] as const)
      expect(Math.abs(value(ethanolBlendTo60F(10, tempF)).factor - factor)).toBeLessThan(6e-6);
  });

  it('refuses blends, expansions and temperatures that it does not know', () => {
    for (const percent of [0, 15, 85, 94, 101]) expect(code(ethanolBlendTo60F(percent, 60))).toBe('FW-801');
    expect(code(specialTo60F(229e-6, 60))).toBe('FW-801');
    expect(code(specialTo60F(931e-6, 60))).toBe('FW-801');
    expect(code(specialTo60F(500e-6, 303))).toBe('FW-801');
    expect(code(fuelEthanolTo60F(-41))).toBe('FW-801');
    expect(code(biodieselTo60F(123))).toBe('FW-801');
  });
});

describe('correcting a volume', () => {
  it('multiplies exactly and rounds once', () => {
    expect(correctedVolume(100_000_000, 1.00929)).toBe(100_929_000);
    expect(correctedVolume(1, 0.99999)).toBe(1);
    expect(correctedVolume(50_000, 1.00001)).toBe(50_001);
    expect(correctedVolume(9_000_000_000_000_000, 0.5)).toBe(4_500_000_000_000_000);
  });

  it('an everyday drop: 7,500 gal of API 36 diesel at 40 °F is 7,569.69 gal at 60 °F (computed by the form of 1980)', () => {
    expect(7500 * value(factor6B(densityOfApi(36), 40))).toBeCloseTo(7569.69, 1);
    expect(8000 * value(factor6B(densityOfApi(60), 85))).toBeCloseTo(7862.62, 1);
  });

  it('ties go to even', () => {
    expect(roundHalfEven(0.5, 0)).toBe(0);
    expect(roundHalfEven(1.5, 0)).toBe(2);
    expect(roundHalfEven(1.000015, 5)).toBe(1.00002);
    expect(roundHalfEven(1.000025, 5)).toBe(1.00002);
  });
});
