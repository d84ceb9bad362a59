import type { YardEvent } from '../port.ts';
import type { Reads } from './bus.ts';
import { gaugeOf, type Picture, takePicture, wantsOfTank } from './picture.ts';
import type { WiredGauge, WiredTank } from './wiring.ts';

/** The gauges of one tank on one unit, read when due. A gauge that gives nothing, or cannot be read, is a lost probe. */
export function tankWatch(id: string, wired: WiredTank, unit: string, number: number) {
  const wants = wantsOfTank(wired, unit);
  const any = Object.values(wants).some((spans) => spans.length > 0);
  const watch = {
    any,
    dueAt: Number.NEGATIVE_INFINITY,
    async read(bus: Reads, monotonic: () => number): Promise<YardEvent> {
      watch.dueAt = monotonic() + wired.everyMs;
      try {
        return levelOf(id, wired, unit, await takePicture(bus, number, wants, monotonic));
      } catch {
        return { kind: 'probeLost', tank: id };
      }
    },
  };
  return watch;
}

function levelOf(id: string, wired: WiredTank, unit: string, picture: Picture): YardEvent {
  const value = (g: WiredGauge | undefined) => (g?.unit === unit ? gaugeOf(picture, g) : undefined);
  const levelMm = value(wired.level);
  const waterMm = value(wired.water);
  const tempC = value(wired.temperature);
  const litres = value(wired.volume);
  // A tank below its own bottom is a broken gauge.
  const wrong = [levelMm, waterMm, litres].some((v) => v !== undefined && v < 0);
  if (wrong || [levelMm, waterMm, tempC, litres].every((v) => v === undefined)) return { kind: 'probeLost', tank: id };
  return {
    kind: 'level',
    tank: id,
    ...(levelMm === undefined ? {} : { levelMm }),
    ...(waterMm === undefined ? {} : { waterMm }),
    ...(tempC === undefined ? {} : { tempC }),
    ...(litres === undefined ? {} : { ul: Math.floor(litres * 1_000_000) }),
  };
}
