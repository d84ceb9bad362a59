import { err, ok, type Problem, problem, type Result } from '../errors/index.ts';
import type { VolumeUnit } from '../units/index.ts';

/**
 * Tolerances on a meter's delivery. Which edition is law, and whether the meter is used in trade at all, the weights-and-measures
 * authority says: this is arithmetic to plan and record a proving, and no approval.
 */
export type MeterRule =
  /** NIST Handbook 44, section 3.30, Table T.2, accuracy classes. */
  | { readonly by: 'HB 44'; readonly accuracy: '0.3' | '0.5' | '1.1' }
  /** Directive 2014/32/EU, Annex VII, Tables 2 and 3: line A for the whole system, line B for the meter alone. */
  | { readonly by: '2014/32/EU'; readonly accuracy: '0.3' | '0.5' | '1.0' | '1.5' | '2.5'; readonly line: 'A' | 'B' };

/** New, newly in service or just repaired: acceptance; otherwise maintenance (Handbook 44, G-T.1 and G-T.2, from memory). */
export type Occasion = 'acceptance' | 'maintenance';
/** At full flow, or slowly. */
export type TestKind = 'normal' | 'special';

/** Parts per 10,000 of the indicated quantity: acceptance, maintenance, special. Class 0.3: as quoted by a calibration firm; 0.5 and 1.1 from memory. */
const HB44: Readonly<Record<'0.3' | '0.5' | '1.1', readonly [number, number, number]>> = {
  '0.3': [20, 30, 50],
  '0.5': [30, 50, 50],
  '1.1': [75, 100, 125],
};

/** Parts per 10,000 of the true quantity. Directive 2014/32/EU, Annex VII, Table 2; OIML R 117-1:2007 has the same. */
const EU: Readonly<Record<'A' | 'B', Readonly<Record<'0.3' | '0.5' | '1.0' | '1.5' | '2.5', number>>>> = {
  A: { '0.3': 30, '0.5': 50, '1.0': 100, '1.5': 150, '2.5': 250 },
  B: { '0.3': 20, '0.5': 30, '1.0': 60, '1.5': 100, '2.5': 150 },
};

/** In3 in a gallon (exact) and mL in a litre: what a prover's neck is read in. */
export const NECK_UNITS = { gal: 231, l: 1000 } as const satisfies Record<VolumeUnit, number>;

/**
 * How far off a draft may be: `numerator / denominator` in3 (drafts in gallons) or mL (in litres), kept as a fraction so that a reading
 * exactly at the limit passes. `of` says which quantity the rule takes its share of.
 */
export interface Tolerance {
  readonly numerator: bigint;
  readonly denominator: bigint;
  readonly of: 'indicated' | 'true';
}

/** The same as a number, in3 or mL, for showing. */
export const toleranceValue = (t: Tolerance): number => Number(t.numerator) / Number(t.denominator);

/**
 * The tolerance for a draft of `indicatedMilli` thousandths of a gallon or litre that truly was `trueMilli` thousandths of an in3 or mL.
 * @returns FW-801 for a draft too small for the rule.
 */
export function toleranceFor(
  rule: MeterRule,
  occasion: Occasion,
  kind: TestKind,
  unit: VolumeUnit,
  indicatedMilli: number,
  trueMilli: number,
): Result<Tolerance, Problem> {
  if (rule.by === '2014/32/EU') return europeanTolerance(EU[rule.line][rule.accuracy], unit, trueMilli);
  const small = rule.accuracy === '0.5' && indicatedMilli <= (unit === 'gal' ? 10_000 : 40_000);
  if (small) {
    // Maintenance: 1 in3 + 1 in3 a gallon, or 20 mL + 4 mL a litre, on normal and special tests; acceptance: half of it.
    // Table T.2's footnote; its present wording and the metric form from memory.
    const milli = unit === 'gal' ? 1000 + indicatedMilli : 20_000 + 4 * indicatedMilli;
    return ok({ numerator: BigInt(milli), denominator: occasion === 'acceptance' ? 2000n : 1000n, of: 'indicated' });
  }
  const [acceptance, maintenance, special] = HB44[rule.accuracy];
  const parts = kind === 'special' ? special : occasion === 'acceptance' ? acceptance : maintenance;
  const quantity = BigInt(indicatedMilli) * BigInt(NECK_UNITS[unit]);
  return ok({ numerator: BigInt(parts) * quantity, denominator: 10_000_000n, of: 'indicated' });
}

/** Table 3: below 2 L the share is taken of a fixed quantity, or is larger. Counted in picolitres; an in3 is 16.387064 mL exactly. */
function europeanTolerance(parts: number, unit: VolumeUnit, trueMilli: number): Result<Tolerance, Problem> {
  const perMilli = unit === 'gal' ? 16_387_064n : 1_000_000n;
  const quantity = BigInt(trueMilli) * perMilli;
  const litre = 1_000_000_000_000n;
  const share = (times: bigint, of: bigint): Result<Tolerance, Problem> =>
    ok({ numerator: BigInt(parts) * times * of, denominator: 10_000_000n * perMilli, of: 'true' });
  if (quantity >= 2n * litre) return share(1n, quantity);
  if (quantity >= litre) return share(1n, 2n * litre);
  if (quantity * 10n >= 4n * litre) return share(2n, quantity);
  if (quantity * 10n >= 2n * litre) return share(2n, (4n * litre) / 10n);
  if (quantity * 10n >= litre) return share(4n, quantity);
  const found = `${Number(quantity) / Number(litre)} L`;
  return err(problem('FW-801', { at: { field: 'draft' }, found, expected: 'at least 0.1 L' }));
}
