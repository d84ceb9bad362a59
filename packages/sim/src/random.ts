/**
 * A seeded source of numbers: the same seed gives the same numbers for ever. Chris Doty-Humphrey's sfc32 (public domain), restated; the
 * seed text is spread by FNV-1a with four offsets. Not for secrets.
 */
export interface Random {
  /** In [0, 1), 32 bits of it random. */
  next(): number;
  /** A whole number in [least, most]. */
  whole(least: number, most: number): number;
  /** In [least, most). */
  between(least: number, most: number): number;
  chance(share: number): boolean;
  pick<T>(from: readonly T[]): T;
  /** Normal by Box and Muller's formula. */
  normal(mean: number, deviation: number): number;
  /** Another source that depends on this seed and the name only, so that one part's draws do not move another's. */
  part(name: string): Random;
}

function spread(text: string, offset: number): number {
  let h = (0x811c9dc5 ^ offset) >>> 0;
  for (let i = 0; i < text.length; i++) h = Math.imul(h ^ text.charCodeAt(i), 0x01000193) >>> 0;
  return h;
}

export function randomFrom(seed: string | number): Random {
  const text = String(seed);
  let a = spread(text, 0);
  let b = spread(text, 0x9e3779b9);
  let c = spread(text, 0x243f6a88);
  let counter = spread(text, 0xb7e15162);
  const bits = (): number => {
    const sum = (((a + b) | 0) + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (c << 21) | (c >>> 11);
    c = (c + sum) | 0;
    return sum >>> 0;
  };
  for (let i = 0; i < 15; i++) bits();
  const next = () => bits() / 4_294_967_296;
  const random: Random = {
    next,
    whole: (least, most) => least + Math.floor(next() * (most - least + 1)),
    between: (least, most) => least + next() * (most - least),
    chance: (share) => next() < share,
    pick: (from) => {
      if (from.length === 0) throw new RangeError('nothing to pick from');
      return from[Math.floor(next() * from.length)] as (typeof from)[number];
    },
    normal: (mean, deviation) =>
      mean + deviation * Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next()),
    part: (name) => randomFrom(`${text}/${name}`),
  };
  return random;
}
