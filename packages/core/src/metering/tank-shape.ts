import { err, ok, type Problem, problem, type Result } from '../errors/index.ts';
import { outside, within } from './domain.ts';
import { integrateInPieces } from './integrate.ts';
import { endDepth, lyingEndVolume, segmentArea, standingEndVolume, type TankEnd } from './tank-end.ts';

/** A tilt along the axis: the far end stands lower by `fallMm` than the near end, over the cylinder's length; and where the dip is taken. */
export interface Tilt {
  /** May be negative: then the near end is the lower one. At most a twentieth of the length. */
  readonly fallMm: number;
  /** From the near end of the cylinder to the gauge or dip tube, 0 to the length. */
  readonly gaugeMm: number;
}

/** A tank as a body, inside measures in mm; a tank's own chart is better than any shape. */
export type TankShape =
  | {
      readonly kind: 'lying cylinder';
      readonly diameterMm: number;
      /** Of the straight part. */
      readonly lengthMm: number;
      readonly near: TankEnd;
      readonly far: TankEnd;
      readonly tilt?: Tilt;
    }
  | {
      readonly kind: 'standing cylinder';
      readonly diameterMm: number;
      /** Of the straight part. */
      readonly heightMm: number;
      readonly bottom: TankEnd;
      readonly top: TankEnd;
    }
  | {
      readonly kind: 'box';
      readonly lengthMm: number;
      readonly widthMm: number;
      readonly heightMm: number;
      readonly tilt?: Tilt;
    };

type Lying = Extract<TankShape, { kind: 'lying cylinder' }>;
type Standing = Extract<TankShape, { kind: 'standing cylinder' }>;
type Box = Extract<TankShape, { kind: 'box' }>;

const MM3_PER_LITRE = 1e6;
export const MM_PER_INCH = 25.4;
export const LITRES_PER_GALLON = 3.785411784;

/** The deepest dip, mm: inside height at the gauge. */
export function deepestMm(shape: TankShape): number {
  if (shape.kind === 'lying cylinder') return shape.diameterMm;
  if (shape.kind === 'box') return shape.heightMm;
  const r = shape.diameterMm / 2;
  return endDepth(shape.bottom, r) + shape.heightMm + endDepth(shape.top, r);
}

/** Litres of the full tank. */
export function capacityLitres(shape: TankShape): number {
  if (shape.kind === 'box') return (shape.lengthMm * shape.widthMm * shape.heightMm) / MM3_PER_LITRE;
  const r = shape.diameterMm / 2;
  const [one, other, straight] =
    shape.kind === 'lying cylinder'
      ? [shape.near, shape.far, shape.lengthMm]
      : [shape.bottom, shape.top, shape.heightMm];
  const ends = standingEndVolume(one, r, endDepth(one, r)) + standingEndVolume(other, r, endDepth(other, r));
  return (Math.PI * r * r * straight + ends) / MM3_PER_LITRE;
}

/**
 * Litres in the tank at a dip, measured from the lowest inside point below the gauge. Published treatments: D. Jones, 'Calculating Tank
 * Volume'; Chemical Engineering, September 2011, p. 55. Level flat, elliptical and hemispherical ends by formula, dished ends and
 * tilt by numerical integration, to better than 1e-8 of the capacity. The dip of a tilted tank is taken square to its axis; taken plumb
 * it differs by at most 0.13 % at the steepest tilt. @returns FW-801 for a dip outside the tank, FW-201 for an impossible shape.
 */
export function litresAt(shape: TankShape, dipMm: number): Result<number, Problem> {
  const wrong = wrongShape(shape);
  if (wrong) return err(wrong);
  const deepest = deepestMm(shape);
  if (!within(dipMm, 0, deepest)) return outside('dip', dipMm, `0 to ${deepest} mm`);
  if (shape.kind === 'lying cylinder') return ok(lyingVolume(shape, dipMm) / MM3_PER_LITRE);
  if (shape.kind === 'standing cylinder') return ok(standingVolume(shape, dipMm) / MM3_PER_LITRE);
  return ok(boxVolume(shape, dipMm) / MM3_PER_LITRE);
}

/** Depth along the axis, from the near end of the straight part, when the gauge shows `dip`. */
const slope = (tilt: Tilt | undefined, lengthMm: number): number => (tilt ? tilt.fallMm / lengthMm : 0);

function lyingVolume(shape: Lying, dip: number): number {
  const { diameterMm, lengthMm, near, far, tilt } = shape;
  const r = diameterMm / 2;
  const s = slope(tilt, lengthMm);
  const gauge = tilt?.gaugeMm ?? 0;
  const depthAt = (x: number) => dip + s * (x - gauge);
  const straight =
    s === 0
      ? segmentArea(r, dip) * lengthMm
      : integrateInPieces((x) => segmentArea(r, depthAt(x)), 0, lengthMm, [
          gauge - dip / s,
          gauge + (diameterMm - dip) / s,
        ]);
  return (
    straight + lyingEnd(near, r, s, dip, (x) => depthAt(-x)) + lyingEnd(far, r, s, dip, (x) => depthAt(lengthMm + x))
  );
}

function lyingEnd(end: TankEnd, r: number, s: number, dip: number, depthAt: (x: number) => number): number {
  if (end.kind === 'flat') return 0;
  if (end.kind === 'dished' || s !== 0) return lyingEndVolume(end, r, depthAt);
  return ((Math.PI * endDepth(end, r)) / (2 * r)) * (r * dip * dip - dip ** 3 / 3);
}

function standingVolume(shape: Standing, dip: number): number {
  const r = shape.diameterMm / 2;
  const [below, above] = [endDepth(shape.bottom, r), endDepth(shape.top, r)];
  if (dip <= below) return standingEndVolume(shape.bottom, r, dip);
  const bottom = standingEndVolume(shape.bottom, r, below);
  const circle = Math.PI * r * r;
  if (dip <= below + shape.heightMm) return bottom + circle * (dip - below);
  const left = below + shape.heightMm + above - dip;
  const top = standingEndVolume(shape.top, r, above) - standingEndVolume(shape.top, r, left);
  return bottom + circle * shape.heightMm + top;
}

function boxVolume(shape: Box, dip: number): number {
  const { lengthMm, widthMm, heightMm, tilt } = shape;
  const s = slope(tilt, lengthMm);
  if (s === 0) return lengthMm * widthMm * dip;
  const gauge = tilt?.gaugeMm ?? 0;
  // The wetted height of a slice ends at the floor and at the roof.
  const wetted = (x: number) => Math.min(heightMm, Math.max(0, dip + s * (x - gauge)));
  const breaks = [gauge - dip / s, gauge + (heightMm - dip) / s];
  return widthMm * integrateInPieces(wetted, 0, lengthMm, breaks);
}

/** Why there can be no such tank: FW-201 with the field; undefined when there can. */
export function wrongShape(shape: TankShape): Problem | undefined {
  const sizes: [string, number][] =
    shape.kind === 'box'
      ? [
          ['length', shape.lengthMm],
          ['width', shape.widthMm],
          ['height', shape.heightMm],
        ]
      : [
          ['diameter', shape.diameterMm],
          shape.kind === 'lying cylinder' ? ['length', shape.lengthMm] : ['height', shape.heightMm],
        ];
  for (const [field, size] of sizes) if (!within(size, 1, 1e6)) return wrong(field, size, '1 to 1,000,000 mm');
  if (shape.kind !== 'box') {
    const ends = shape.kind === 'lying cylinder' ? [shape.near, shape.far] : [shape.bottom, shape.top];
    for (const end of ends) {
      const bad = wrongEnd(end, shape.diameterMm / 2);
      if (bad) return bad;
    }
  }
  if (shape.kind === 'standing cylinder' || !shape.tilt) return undefined;
  const { fallMm, gaugeMm } = shape.tilt;
  const most = shape.lengthMm / 20;
  if (!within(fallMm, -most, most)) return wrong('fall', fallMm, `${-most} to ${most} mm`);
  return within(gaugeMm, 0, shape.lengthMm) ? undefined : wrong('gauge', gaugeMm, `0 to ${shape.lengthMm} mm`);
}

function wrongEnd(end: TankEnd, r: number): Problem | undefined {
  if (end.kind === 'elliptical' && !within(end.depthMm, 1e-3, 2 * r))
    return wrong('depth of the end', end.depthMm, `more than 0, at most ${2 * r} mm`);
  if (end.kind !== 'dished') return undefined;
  const { dishRadiusMm: f, knuckleRadiusMm: k } = end;
  if (!within(k, 1e-3, r)) return wrong('knuckle radius', k, `more than 0, at most ${r} mm`);
  return within(f, r, 1e7) ? undefined : wrong('dish radius', f, `at least ${r} mm`);
}

const wrong = (field: string, found: number, expected: string): Problem =>
  problem('FW-201', { at: { field }, found: String(found), expected });
