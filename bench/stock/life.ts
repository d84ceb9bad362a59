import { type TankModel, tankModel } from '@fillwright/core/stock';
import { randomFrom, type TankLife, tankLife } from '@fillwright/sim';

/** Each month differs: how the tank stands, the meters within their class, the season. */
export function life(seed: string, part: Partial<TankLife>): TankLife {
  const random = randomFrom(seed);
  const drift = () => random.normal(0, 0.0015);
  return {
    seed,
    days: 30,
    fallMm: 10 * random.whole(0, 6),
    swingC: random.between(1, 5),
    drifts: [drift(), drift(), drift()],
    ...part,
  };
}

export const modelOf = (l: TankLife): TankModel => {
  const m = tankModel(tankLife(l));
  if (typeof m === 'string') throw new Error(`${l.seed}: ${m}`);
  return m;
};

export const percent = (n: number, of: number): string => `${((100 * n) / of).toFixed(1)} %`;
