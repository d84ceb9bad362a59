import { type FlagKind, PRACTICE } from '../flag.ts';

const LEAST_HISTORY = 12;
/** How far from every earlier fill's time of day. Common practice, no source. */
const APART_MIN = 180;
const DAY = 1440;

export const outOfHours: FlagKind = {
  code: 'G06',
  title: 'At an hour at which the vehicle never draws',
  reason: 'A dozen fills or more were all hours away from this time of day. It was allowed; it is unusual.',
  next: 'Ask the department whether the vehicle was out. If such hours are never meant, narrow the allowance’s times.',
  source: PRACTICE,
  *find({ byVehicle, minuteOf, called, since }) {
    for (const [id, fills] of byVehicle) {
      // Minutes of the day that lie near an earlier fill: each minute of the day is marked once, however many fills there are.
      const near = new Uint8Array(DAY);
      const seen = new Set<number>();
      for (const [earlier, fill] of fills.entries()) {
        const minute = minuteOf(fill);
        if (earlier >= LEAST_HISTORY && near[minute] === 0 && fill.from >= since) {
          yield {
            at: fill.from,
            on: [
              { table: 'fills', id: fill.id },
              { table: 'vehicles', id },
            ],
            text: `${called('vehicles', id)} drew at ${clock(minute)}; none of its ${earlier} earlier fills was within ${APART_MIN / 60} hours of that.`,
            evidence: { minuteOfDay: minute, nearest: Math.min(...[...seen].map((m) => apart(m, minute))), earlier },
          };
        }
        if (seen.has(minute)) continue;
        seen.add(minute);
        for (let d = -APART_MIN; d <= APART_MIN; d++) near[(minute + d + DAY) % DAY] = 1;
      }
    }
  },
};

const apart = (a: number, b: number) => {
  const d = Math.abs(a - b);
  return Math.min(d, DAY - d);
};
const clock = (minute: number) =>
  `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`;
