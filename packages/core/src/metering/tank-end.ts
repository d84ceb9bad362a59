import { integrateInPieces } from './integrate.ts';

/**
 * How a cylinder is closed. A dished end has a dish of one radius and a knuckle of another (torispherical); an elliptical end is
 * half an ellipsoid, in the common 2:1 form a quarter of the diameter deep. All bulge outwards. Lengths inside, mm.
 */
export type TankEnd =
  | { readonly kind: 'flat' }
  | { readonly kind: 'elliptical'; readonly depthMm: number }
  | { readonly kind: 'hemispherical' }
  | { readonly kind: 'dished'; readonly dishRadiusMm: number; readonly knuckleRadiusMm: number };

/** The area of a circle's segment: radius `r`, liquid `h` deep above its lowest point; 0 below it and the whole circle above. */
export function segmentArea(r: number, h: number): number {
  if (h <= 0 || r <= 0) return 0;
  if (h >= 2 * r) return Math.PI * r * r;
  // Half the angle that the liquid's surface spans at the centre; near the bottom the difference of two like numbers is taken as a series.
  const angle = 2 * Math.asin(Math.sqrt(h / (2 * r)));
  const rest =
    angle < 0.02
      ? (2 / 3) * angle ** 3 * (1 - (angle * angle) / 5 + (2 * angle ** 4) / 105)
      : angle - Math.sin(2 * angle) / 2;
  return r * r * rest;
}

/** How far the end stands out beyond the cylinder, mm, for a cylinder of radius `r`. */
export function endDepth(end: TankEnd, r: number): number {
  if (end.kind === 'flat') return 0;
  if (end.kind === 'elliptical') return end.depthMm;
  if (end.kind === 'hemispherical') return r;
  const { dishRadiusMm: f, knuckleRadiusMm: k } = end;
  return f - Math.sqrt((f - k) ** 2 - (r - k) ** 2);
}

/**
 * A stretch of an end's outline, as a smooth path: distance beyond the cylinder and radius there, for a parameter that runs from
 * `from` to `to`; `stretch` is d(distance)/d(parameter).
 */
interface Outline {
  readonly from: number;
  readonly to: number;
  readonly x: (p: number) => number;
  readonly r: (p: number) => number;
  readonly stretch: (p: number) => number;
}

function outlines(end: TankEnd, r: number): Outline[] {
  if (end.kind === 'flat') return [];
  if (end.kind !== 'dished') {
    const depth = endDepth(end, r);
    return [
      {
        from: 0,
        to: Math.PI / 2,
        x: (p) => depth * Math.sin(p),
        r: (p) => r * Math.cos(p),
        stretch: (p) => depth * Math.cos(p),
      },
    ];
  }
  const { dishRadiusMm: f, knuckleRadiusMm: k } = end;
  const meet = Math.acos((r - k) / (f - k));
  const centre = endDepth(end, r) - f;
  return [
    {
      from: 0,
      to: meet,
      x: (p) => k * Math.sin(p),
      r: (p) => r - k + k * Math.cos(p),
      stretch: (p) => k * Math.cos(p),
    },
    {
      from: meet,
      to: Math.PI / 2,
      x: (p) => centre + f * Math.sin(p),
      r: (p) => f * Math.cos(p),
      stretch: (p) => f * Math.cos(p),
    },
  ];
}

/**
 * Volume in the end of a lying cylinder, mm3. `depthAt` gives the liquid's depth above the cylinder's lowest line (it may lie below or
 * above the tank) at a distance beyond the cylinder.
 */
export function lyingEndVolume(end: TankEnd, r: number, depthAt: (x: number) => number): number {
  let sum = 0;
  for (const o of outlines(end, r)) {
    const slice = (p: number) => segmentArea(o.r(p), depthAt(o.x(p)) - (r - o.r(p))) * o.stretch(p);
    sum += integrateInPieces(slice, o.from, o.to, edges(o, r, depthAt));
  }
  return sum;
}

/** Parameters at which the liquid just reaches the lowest or the highest point of the slice. */
function edges(o: Outline, r: number, depthAt: (x: number) => number): number[] {
  // Zero where the surface meets the outline, below the axis or above it.
  const gap = (p: number, side: 1 | -1) => depthAt(o.x(p)) - r + side * o.r(p);
  const found: number[] = [];
  for (const side of [1, -1] as const) {
    const steps = 16;
    for (let i = 0; i < steps; i++) {
      let low = o.from + ((o.to - o.from) * i) / steps;
      let high = o.from + ((o.to - o.from) * (i + 1)) / steps;
      if (gap(low, side) > 0 === gap(high, side) > 0) continue;
      const rising = gap(high, side) > 0;
      for (let n = 0; n < 60; n++) {
        const middle = (low + high) / 2;
        if (gap(middle, side) > 0 === rising) high = middle;
        else low = middle;
      }
      found.push((low + high) / 2);
    }
  }
  return found;
}

/** Volume in the end at the bottom of a standing cylinder, mm3, filled `z` mm from its lowest point; `z` from 0 to the depth. */
export function standingEndVolume(end: TankEnd, r: number, z: number): number {
  const depth = endDepth(end, r);
  if (depth === 0) return 0;
  if (end.kind !== 'dished') return Math.PI * r * r * ((z * z) / depth - z ** 3 / (3 * depth * depth));
  // The slices between the lowest point and z lie at distances depth - z to depth beyond the cylinder.
  let sum = 0;
  for (const o of outlines(end, r)) {
    const first = parameterAt(o, depth - z);
    sum += integrateInPieces((p) => Math.PI * o.r(p) ** 2 * o.stretch(p), first, o.to, []);
  }
  return sum;
}

function parameterAt(o: Outline, x: number): number {
  let [low, high] = [o.from, o.to];
  if (x <= o.x(low)) return low;
  if (x >= o.x(high)) return high;
  for (let n = 0; n < 60; n++) {
    const middle = (low + high) / 2;
    if (o.x(middle) < x) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
