/** Nodes and weights of tanh-sinh quadrature on (-1, 1), step 1/16: distances from the nearer end, so that nothing cancels there. */
const NODES: readonly { readonly fromEnd: number; readonly weight: number }[] = Array.from({ length: 56 }, (_, k) => {
  const t = k / 16;
  const s = (Math.PI / 2) * Math.sinh(t);
  const cosh = Math.cosh(s);
  return { fromEnd: Math.exp(-s) / cosh, weight: ((Math.PI / 2) * Math.cosh(t)) / (cosh * cosh) / 16 };
});

/**
 * The integral of `f` from `from` to `to` by tanh-sinh quadrature (Takahasi and Mori, 1974): about 12 digits for functions that are smooth inside, also when
 * their slope is infinite at an end. A kink inside must be an end: split there.
 */
export function integrate(f: (x: number) => number, from: number, to: number): number {
  if (to <= from) return 0;
  const half = (to - from) / 2;
  let sum = 0;
  for (const [k, { fromEnd, weight }] of NODES.entries()) {
    const d = half * fromEnd;
    sum += weight * (k === 0 ? f(from + half) : f(from + d) + f(to - d));
  }
  return sum * half;
}

/** The integral in pieces between the `breaks` that lie inside. */
export function integrateInPieces(
  f: (x: number) => number,
  from: number,
  to: number,
  breaks: readonly number[],
): number {
  const inside = breaks.filter((b) => b > from && b < to).sort((a, b) => a - b);
  let sum = 0;
  let start = from;
  for (const end of [...inside, to]) {
    sum += integrate(f, start, end);
    start = end;
  }
  return sum;
}
