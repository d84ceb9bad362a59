import { at, type Check, DATA } from '../check.ts';

export const lowAboveSafeFill: Check = {
  code: 'F117',
  severity: 'error',
  title: 'A tank’s low level is at or above its safe fill',
  reason: 'Hoses stop below the low level, so the tank could never be drawn from.',
  mend: 'Lower the low level, or correct capacity or safe fill.',
  source: DATA,
  *find(ctx) {
    for (const tank of ctx.fleet.tanks.values()) {
      const safe = Math.floor((tank.capacity * tank.safeFill) / 100);
      if (tank.capacity === 0 || tank.low < safe) continue;
      yield {
        on: [at('tanks', tank.id, 'low')],
        text: `${ctx.called('tanks', tank.id)} is low at ${ctx.volume(tank.low)}, its safe fill is ${ctx.volume(safe)}.`,
      };
    }
  },
};
