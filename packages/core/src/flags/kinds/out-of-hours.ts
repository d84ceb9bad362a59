import { type FlagKind, PRACTICE } from '../flag.ts';

const LEAST_HISTORY = 20;
/** How far from every earlier fill's time of day. Common practice, no source. */
const APART_MIN = 180;
const DAY = 1440;

export const outOfHours: FlagKind = {
  code: 'G06',
  title: 'At an hour at which the vehicle never draws',
  reason: 'Twenty fills or more were all hours away from this time of day. It was allowed; it is unusual.',
  next: 'Ask the department whether the vehicle was out. If such hours are never meant, narrow the allowance’s times.',
  source: PRACTICE,
  *find({ byVehicle, local, called }) {
    for (const [id, fills] of byVehicle) {
      // The day's minutes at which it drew before, kept sorted.
      const seen: number[] = [];
      for (const fill of fills) {
        const { minute } = local(fill);
        const nearest = seen.length === 0 ? 0 : Math.min(...seen.map((m) => apart(m, minute)));
        if (seen.length >= LEAST_HISTORY && nearest > APART_MIN) {
          yield {
            at: fill.from,
            on: [
              { table: 'fills', id: fill.id },
              { table: 'vehicles', id },
            ],
            text: `${called('vehicles', id)} drew at ${clock(minute)}; none of its ${seen.length} earlier fills was within ${APART_MIN / 60} hours of that.`,
            evidence: { minuteOfDay: minute, nearest, earlier: seen.length },
          };
        }
        if (!seen.includes(minute)) seen.push(minute);
        else if (seen.length < LEAST_HISTORY) seen.push(minute);
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
