import type { TimerId } from '@fillwright/core/island';
import type { Clock } from '../clock.ts';

/** The machine's timers, by the monotonic clock. */
export interface Timers {
  start(timer: TimerId, ms: number): void;
  stop(timer: TimerId): void;
  stopAll(): void;
}

export function openTimers(clock: Clock, due: (timer: TimerId) => void): Timers {
  const running = new Map<string, () => void>();
  const keyOf = ({ of, id, name, n }: TimerId) => `${of}\n${id}\n${name}\n${n}`;
  return {
    start(timer, ms) {
      const key = keyOf(timer);
      running.get(key)?.();
      const callOff = clock.after(ms, () => {
        running.delete(key);
        due(timer);
      });
      running.set(key, callOff);
    },
    stop(timer) {
      running.get(keyOf(timer))?.();
      running.delete(keyOf(timer));
    },
    stopAll() {
      for (const callOff of running.values()) callOff();
      running.clear();
    },
  };
}
